"""The register's application."""

from django.apps import AppConfig
from django.db.backends.signals import connection_created
from django.db.models.signals import post_migrate


class SitesConfig(AppConfig):
    name = "sites"
    verbose_name = "Register"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Imported here: these modules need the registry of models to be ready.
        from sites import checks, tasks  # noqa: F401
        from sites.rules.actor import give_sqlite_the_actor
        from sites.rules.install import install_after_migrate
        from sites.verify import own

        connection_created.connect(give_sqlite_the_actor)
        post_migrate.connect(install_after_migrate, sender=self)
        own.register()
