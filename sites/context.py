"""What every page's frame needs."""

from typing import Any

from django.http import HttpRequest

from sites.compute.roles import MANAGE, PRICE, ROLES


def page(request: HttpRequest) -> dict[str, Any]:
    """The studio-wide abilities of the signed-in user, for the menu; read when first asked for."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {}

    def may(ability: str) -> bool:
        if not hasattr(user, "_studio_roles"):
            user._studio_roles = list(
                user.memberships.filter(building__isnull=True).values_list("role", flat=True)
            )
        return any(ability in ROLES[role] for role in user._studio_roles)

    return {"may_manage": lambda: may(MANAGE), "may_price": lambda: may(PRICE)}
