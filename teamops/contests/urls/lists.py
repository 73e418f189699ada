"""Checklists, a trip's days, and lists behind links."""

from django.urls import path

from teamops.contests.views import anchors, checklists, linked

urlpatterns = [
    path("checklists/", checklists.show_checklists, name="show_checklists"),
    path("checklists/new/", checklists.add_checklist, name="add_checklist"),
    path("checklists/starters/", checklists.add_starter_checklists, name="add_starter_checklists"),
    path("checklists/<uuid:pk>/", checklists.change_checklist, name="change_checklist"),
    path("checklists/<uuid:pk>/delete/", checklists.delete_checklist, name="delete_checklist"),
    path("checklists/<uuid:pk>/lines/", checklists.add_checklist_line, name="add_checklist_line"),
    path(
        "checklists/lines/<uuid:pk>/",
        checklists.change_checklist_line,
        name="change_checklist_line",
    ),
    path(
        "checklists/lines/<uuid:pk>/delete/",
        checklists.delete_checklist_line,
        name="delete_checklist_line",
    ),
    path("contests/<uuid:pk>/checklist/", checklists.show_checklist, name="show_checklist"),
    path("contests/<uuid:pk>/checklist/tick/", checklists.tick_checklist, name="tick_checklist"),
    path("contests/<uuid:pk>/checklist/put/", checklists.put_checklist, name="put_checklist"),
    path(
        "contests/<uuid:pk>/checklist/remove/",
        checklists.remove_checklist,
        name="remove_checklist",
    ),
    path("tasks/<uuid:pk>/change/", checklists.change_task, name="change_task"),
    path("contests/<uuid:pk>/checklist/link/", linked.share_todos, name="share_todos"),
    path("contests/<uuid:pk>/prep/link/", linked.share_prep, name="share_prep"),
    path("trips/<uuid:pk>/days/", anchors.change_trip, name="change_trip"),
]
