"""Addresses of insight."""

from django.urls import path

from teamops.insight import link_views, views
from teamops.insight.views import (
    boxes,
    changes,
    compare,
    entry,
    finish,
    luck,
    placing,
    report,
    rival,
)

app_name = "insight"
urlpatterns = [
    path("", views.show_season, name="show_season"),
    path("results/", views.show_scores, name="show_scores"),
    path("results/<uuid:pk>/", views.show_entry, name="show_entry"),
    path("results/<uuid:pk>/marks/<slug:key>.svg", entry.draw_entry, name="draw_entry"),
    path("results/<uuid:pk>/report.pdf", views.print_entry, name="print_entry"),
    path("report/", report.show_report, name="show_report"),
    path("report/report.pdf", report.print_report, name="print_report"),
    path("team/links/", link_views.show_links, name="show_links"),
    path("changes/", changes.show_changes, name="show_changes"),
    path("changes/<uuid:pk>/", changes.show_change, name="show_change"),
    path("changes/<uuid:pk>/<slug:key>.svg", changes.draw_change, name="draw_change"),
    path("results/<uuid:pk>/rival/", rival.show_rival, name="show_rival"),
    path("results/<uuid:pk>/rival/sheets/", rival.record_rival, name="record_rival"),
    path("better/", placing.show_better, name="show_better"),
    path("better/curves/<uuid:pk>/<slug:key>.svg", placing.draw_curve, name="draw_curve"),
    path("boxes/", boxes.show_boxes, name="show_boxes"),
    path("finish/", finish.show_finish, name="show_finish"),
    path("finish/<slug:key>.svg", finish.draw_finish, name="draw_finish"),
    path("ledger/", views.show_ledger, name="show_ledger"),
    path("ledger/compare/", compare.show_comparison, name="show_comparison"),
    path("ledger/luck/", luck.show_luck, name="show_luck"),
    path("ledger/luck/<slug:key>.svg", luck.draw_luck, name="draw_luck"),
    path("ledger/trends/<int:pk>/<slug:key>.svg", views.draw_trend, name="draw_trend"),
]
