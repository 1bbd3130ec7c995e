"""Addresses of the sites room."""

app_name = "sites"
urlpatterns: list[object] = []
