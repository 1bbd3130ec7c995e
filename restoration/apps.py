"""The application of what is done about it."""

from django.apps import AppConfig


class RestorationConfig(AppConfig):
    name = "restoration"
    verbose_name = "Restoration"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Imported here: these modules need the registry of models to be ready.
        from condition.documents.decisions import quotes_to_decide as quotes
        from condition.hooks import hooks as survey_hooks
        from restoration import tasks  # noqa: F401
        from restoration.hooks import register
        from restoration.services.decisions import quotes_to_decide
        from sites.hooks import hooks

        register(hooks, survey_hooks)
        quotes.append(quotes_to_decide)
