"""Addresses of judging."""

from django.urls import path

from teamops.judging import views
from teamops.judging.views import debrief, exchange, start

app_name = "judging"
urlpatterns = [
    path("new/", start.start_scores, name="start_scores"),
    path("debriefs/<uuid:pk>/", debrief.show_debrief, name="show_debrief"),
    path("debriefs/<uuid:pk>/points/", debrief.add_points, name="add_points"),
    path("debriefs/of/<uuid:pk>/", debrief.find_debrief, name="find_debrief"),
    path("points/<uuid:pk>/", debrief.settle_point, name="settle_point"),
    path("exchange/", exchange.show_exchange, name="show_exchange"),
    path("exchange/new/", exchange.add_import, name="add_import"),
    path("exchange/template.<slug:ending>", exchange.download_template, name="download_template"),
    path("exchange/everything.xlsx", exchange.export_xlsx, name="export_xlsx"),
    path("exchange/<slug:kind>.csv", exchange.export_csv, name="export_csv"),
    path("exchange/<uuid:pk>/", exchange.show_import, name="show_import"),
    path("exchange/<uuid:pk>/take-in/", exchange.take_in, name="take_in"),
    path("exchange/<uuid:pk>/progress/", exchange.import_progress, name="import_progress"),
    path("exchange/<uuid:pk>/undo/", exchange.undo_import, name="undo_import"),
    path("exchange/<uuid:pk>/again/", exchange.repeat_import, name="repeat_import"),
    path("changes/new/", views.add_change, name="add_change"),
    path("changes/<uuid:pk>/", views.change_change, name="change_change"),
    path("changes/<uuid:pk>/delete/", views.delete_change, name="delete_change"),
    path("changes/<uuid:pk>/plan/", views.plan_change, name="plan_change"),
    path("fields/<uuid:pk>/", views.show_postings, name="show_postings"),
    path("fields/<uuid:pk>/new/", views.add_posting, name="add_posting"),
    path("postings/<uuid:pk>/", views.show_posting, name="show_posting"),
    path("<uuid:pk>/correct/", views.add_correction, name="add_correction"),
    path("<uuid:pk>/mend/", views.mend_sheets, name="mend_sheets"),
    path("<uuid:pk>/decided/", views.settle_entry, name="settle_entry"),
    path("<uuid:pk>/", views.record_scores, name="record_scores"),
]
