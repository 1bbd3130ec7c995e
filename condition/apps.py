"""The application of what was seen."""

from django.apps import AppConfig


class ConditionConfig(AppConfig):
    name = "condition"
    verbose_name = "Condition"
    default_auto_field = "django.db.models.BigAutoField"
