"""Contests, entries, tasks and the prep sheet."""

from django.urls import path

from teamops.contests import views
from teamops.contests.views import aim

urlpatterns = [
    path("contests/", views.show_contests, name="show_contests"),
    path("contests/new/", views.add_contest, name="add_contest"),
    path("contests/<uuid:pk>/", views.show_contest, name="show_contest"),
    path("contests/<uuid:pk>/change/", views.change_contest, name="change_contest"),
    path("contests/<uuid:pk>/delete/", views.delete_contest, name="delete_contest"),
    path("contests/<uuid:pk>/entries/new/", views.add_entry, name="add_entry"),
    path("contests/<uuid:pk>/tasks/new/", views.add_task, name="add_task"),
    path("contests/<uuid:pk>/prep/", views.show_prep, name="show_prep"),
    path("contests/<uuid:pk>/prep/usual/", views.add_usual_steps, name="add_usual_steps"),
    path("contests/<uuid:pk>/prep.pdf", views.print_prep, name="print_prep"),
    path("entries/<uuid:pk>/change/", views.change_entry, name="change_entry"),
    path("entries/<uuid:pk>/delete/", views.delete_entry, name="delete_entry"),
    path("contests/<uuid:pk>/postpone/", views.postpone_contest, name="postpone_contest"),
    path("contests/<uuid:pk>/call-off/", views.call_off_contest, name="call_off_contest"),
    path("contests/<uuid:pk>/outcomes/", views.set_outcomes, name="set_outcomes"),
    path("categories/<uuid:pk>/aim/", aim.set_aim, name="set_aim"),
    path("tasks/<uuid:pk>/step/", views.change_step, name="change_step"),
    path("tasks/<uuid:pk>/done/", views.set_task_done, name="set_task_done"),
    path("tasks/<uuid:pk>/delete/", views.delete_task, name="delete_task"),
]
