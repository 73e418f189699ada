"""Payments, papers and what entering takes."""

from django.urls import path

from teamops.contests import views

urlpatterns = [
    path("papers/", views.show_papers, name="show_papers"),
    path("papers/new/", views.add_paper, name="add_paper"),
    path("papers/<uuid:pk>/change/", views.change_paper, name="change_paper"),
    path("papers/<uuid:pk>/delete/", views.delete_paper, name="delete_paper"),
]
