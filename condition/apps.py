"""The application of what was seen."""

from django.apps import AppConfig


class ConditionConfig(AppConfig):
    name = "condition"
    verbose_name = "Condition"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Imported here: tasks are registered by being imported; both need the models.
        from condition import tasks  # noqa: F401
        from condition.hooks import register

        register()
