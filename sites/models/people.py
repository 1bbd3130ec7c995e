"""Who may sign in, and what each may do at which building."""

from typing import Any

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager, PermissionsMixin
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from sites.compute.roles import ROLES
from sites.models.choices import Units
from sites.models.fields import UUIDModel, not_blank, one_of

ROLE_NAMES = {
    "owner": _("Owner"),
    "estimator": _("Estimator"),
    "surveyor": _("Surveyor"),
    "bench": _("Bench"),
    "committee": _("Committee"),
    "reader": _("Reader"),
}


class UserManager(BaseUserManager["User"]):
    """Makes users; an e-mail address is the name one signs in with."""

    def create_user(self, email: str, password: str | None = None, **fields: Any) -> "User":
        user = self.model(email=self.normalize_email(email).lower(), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user


class User(AbstractBaseUser, PermissionsMixin, UUIDModel):
    """A person who signs in."""

    email = models.EmailField(_("e-mail address"), unique=True)
    name = models.CharField(_("name"), max_length=120)
    units = models.CharField(
        _("lengths in"), max_length=8, choices=Units.choices, default=Units.METRIC
    )
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(auto_now_add=True)

    objects = UserManager()
    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS = ["name"]

    class Meta:
        constraints = [not_blank("user", "name"), one_of("user", "units", Units)]

    def __str__(self) -> str:
        return self.name


class Membership(UUIDModel):
    """A user's role: at one building, or at every building of the studio."""

    studio = models.ForeignKey("sites.Studio", models.CASCADE, related_name="memberships")
    user = models.ForeignKey(User, models.CASCADE, related_name="memberships")
    building = models.ForeignKey(
        "sites.Building", models.CASCADE, related_name="memberships", null=True, blank=True
    )
    role = models.CharField(max_length=12, choices=list(ROLE_NAMES.items()))

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["user", "building"],
                condition=Q(building__isnull=False),
                name="membership_once_a_building",
            ),
            models.UniqueConstraint(
                fields=["user", "studio"],
                condition=Q(building__isnull=True),
                name="membership_once_a_studio",
            ),
            models.CheckConstraint(
                condition=Q(role__in=sorted(ROLES)), name="membership_role_is_a_choice"
            ),
            models.CheckConstraint(
                condition=~Q(role="committee") | Q(building__isnull=False),
                name="membership_committee_is_of_one_building",
                violation_error_message=_("A committee member sees one building: name it."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.user} · {self.get_role_display()} · {self.building or self.studio}"
