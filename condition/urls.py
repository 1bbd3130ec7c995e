"""Addresses of the condition room."""

from django.urls import path

from condition.views import files, findings, looks, photographs, reports, surveys

app_name = "condition"
urlpatterns = [
    path("buildings/<uuid:key>/surveys/add/", surveys.survey_add, name="survey-add"),
    path("surveys/<uuid:key>/", surveys.survey, name="survey"),
    path("surveys/<uuid:key>/edit/", surveys.survey_edit, name="survey-edit"),
    path("surveys/<uuid:key>/findings/add/", findings.finding_add, name="finding-add"),
    path("findings/<uuid:key>/", findings.finding, name="finding"),
    path("findings/<uuid:key>/edit/", findings.finding_edit, name="finding-edit"),
    path("findings/<uuid:key>/delete/", findings.finding_delete, name="finding-delete"),
    path("surveys/<uuid:key>/looks/add/", looks.look_add, name="look-add"),
    path(
        "surveys/<uuid:key>/looks/nothing-found/",
        looks.look_nothing_found,
        name="look-nothing-found",
    ),
    path("looks/<uuid:key>/delete/", looks.look_delete, name="look-delete"),
    path("surveys/<uuid:key>/photographs/add/", photographs.photograph_add, name="photograph-add"),
    path(
        "surveys/<uuid:key>/photographs/sort/",
        photographs.photographs_sort,
        name="photographs-sort",
    ),
    path("photographs/<uuid:key>/", photographs.photograph, name="photograph"),
    path("photographs/<uuid:key>/edit/", photographs.photograph_edit, name="photograph-edit"),
    path("photographs/<uuid:key>/<int:size>.jpg", files.photograph_file, name="photograph-file"),
    path("photographs/<uuid:key>/original/", files.photograph_original, name="photograph-original"),
    path("surveys/<uuid:key>/report/issue/", reports.report_issue, name="report-issue"),
    path("reports/<uuid:key>/", reports.report, name="report"),
    path("reports/<uuid:key>/pdf/", files.report_pdf, name="report-pdf"),
]
