"""Addresses of rulebooks."""

from django.urls import path

from teamops.rules.views import edit, files, keep, show

app_name = "rules"
urlpatterns = [
    path("", show.show_rulebooks, name="show_rulebooks"),
    path("new/", edit.add_rulebook, name="add_rulebook"),
    path("worked/", edit.work_out, name="work_out"),
    path("file/", files.import_rulebook, name="import_rulebook"),
    path("file/format/", files.show_format, name="show_format"),
    path("<uuid:pk>/", show.show_rulebook, name="show_rulebook"),
    path("<uuid:pk>/change/", edit.change_rulebook, name="change_rulebook"),
    path("<uuid:pk>/edition/", edit.make_edition, name="make_edition"),
    path("<uuid:pk>/exception/", edit.make_exception, name="make_exception"),
    path("<uuid:pk>/ours/", keep.make_ours, name="make_ours"),
    path("<uuid:pk>/away/", keep.put_away, name="put_away"),
    path("<uuid:pk>/out/", keep.take_out, name="take_out"),
    path("<uuid:pk>/delete/", keep.delete_rulebook, name="delete_rulebook"),
    path("<uuid:pk>/file/", files.export_rulebook, name="export_rulebook"),
]
