"""Django's `migrate`, which looks first whether there is a folder to make the database in."""

from typing import Any

from django.core.management.commands import migrate

from sites.checks import DATA_FOLDER


class Command(migrate.Command):
    """Django's own; its checks come in no order, and some of them open the database."""

    def check(self, *args: Any, **options: Any) -> None:
        super().check(tags=[DATA_FOLDER])
        super().check(*args, **options)
