"""Addresses of the whole project."""

from django.urls import include, path

urlpatterns = [
    path("accounts/", include("allauth.account.urls")),
    path("", include("sites.urls")),
    path("", include("condition.urls")),
    path("", include("restoration.work_urls")),
]
