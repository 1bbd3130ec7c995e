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
        from condition.services.whole_photographs import PHOTOGRAPHS
        from sites.verify.checks import checks

        register()
        checks.append(PHOTOGRAPHS)
