"""The application of what is done about it."""

from django.apps import AppConfig


class RestorationConfig(AppConfig):
    name = "restoration"
    verbose_name = "Restoration"
    default_auto_field = "django.db.models.BigAutoField"
