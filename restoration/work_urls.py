"""Addresses of the restoration room."""

app_name = "restoration"
urlpatterns: list[object] = []
