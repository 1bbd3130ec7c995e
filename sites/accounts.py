"""Who may make an account: nobody by themselves; the studio invites."""

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class StudioAccountAdapter(DefaultAccountAdapter):
    """Accounts are made by the studio: `manage.py add_user`."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False
