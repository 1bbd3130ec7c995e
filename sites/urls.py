"""Addresses of the register."""

from django.urls import path

from sites.views import buildings, items, jobs, openings, panels, people, studio

app_name = "sites"
urlpatterns = [
    path("buildings/", buildings.buildings, name="buildings"),
    path("buildings/add/", buildings.building_add, name="building-add"),
    path("buildings/<uuid:key>/", buildings.building, name="building"),
    path("buildings/<uuid:key>/edit/", buildings.building_edit, name="building-edit"),
    path("buildings/<uuid:key>/people/add/", people.person_add, name="person-add"),
    path("people/<uuid:key>/edit/", people.person_edit, name="person-edit"),
    path("people/<uuid:key>/delete/", people.person_delete, name="person-delete"),
    path("buildings/<uuid:key>/openings/add/", openings.opening_add, name="opening-add"),
    path("openings/<uuid:key>/", openings.opening, name="opening"),
    path("openings/<uuid:key>/edit/", openings.opening_edit, name="opening-edit"),
    path(
        "openings/<uuid:key>/older-numbers/add/",
        openings.older_number_add,
        name="older-number-add",
    ),
    path(
        "older-numbers/<uuid:key>/delete/",
        openings.older_number_delete,
        name="older-number-delete",
    ),
    path("openings/<uuid:key>/panels/add/", panels.panel_add, name="panel-add"),
    path("openings/<uuid:key>/panels/lay-out/", panels.panels_lay_out, name="panels-lay-out"),
    path("panels/<uuid:key>/edit/", panels.panel_edit, name="panel-edit"),
    path("openings/<uuid:key>/items/add/", items.item_add, name="item-add"),
    path("items/<uuid:key>/", items.item, name="item"),
    path("items/<uuid:key>/edit/", items.item_edit, name="item-edit"),
    path("items/<uuid:key>/fixings/add/", items.fixing_add, name="fixing-add"),
    path("fixings/<uuid:key>/edit/", items.fixing_edit, name="fixing-edit"),
    path("fixings/<uuid:key>/delete/", items.fixing_delete, name="fixing-delete"),
    path("jobs/<uuid:key>/", jobs.job, name="job"),
    path("studio/", studio.studio_edit, name="studio-edit"),
    path("me/", studio.own_settings, name="own-settings"),
    path("patterns/", studio.patterns, name="patterns"),
]
