"""Who may make an account: nobody by themselves; the studio invites."""

import logging
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest

logger = logging.getLogger(__name__)


class StudioAccountAdapter(DefaultAccountAdapter):
    """Accounts are made by the studio: `manage.py add_user`."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Send a letter; without a mail server the page still answers, and says whom to ask."""
        try:
            super().send_mail(template_prefix, email, context)
        except OSError:
            logger.exception("letter %s could not be sent", template_prefix)
