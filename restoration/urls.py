"""Addresses of the whole project."""

from django.urls import include, path

from restoration.views.today import today

urlpatterns = [
    path("", today, name="today"),
    path("accounts/", include("allauth.account.urls")),
    path("", include("sites.urls")),
    path("", include("condition.urls")),
    path("", include("restoration.work_urls")),
]
