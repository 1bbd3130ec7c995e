"""Addresses of the whole project."""

from django.urls import include, path

from restoration.views.today import today
from sites.views.account import closed, own_address

urlpatterns = [
    path("", today, name="today"),
    path("accounts/email/", own_address, name="own-address"),
    path("accounts/confirm-email/", closed, name="account_confirm_closed"),
    path("accounts/confirm-email/<path:rest>", closed, name="account_confirm_key_closed"),
    path("accounts/", include("allauth.account.urls")),
    path("", include("sites.urls")),
    path("", include("condition.urls")),
    path("", include("restoration.work_urls")),
]
