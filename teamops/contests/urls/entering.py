"""Payments, papers and what entering takes."""

from django.urls import path

from teamops.contests import views

urlpatterns = [
    path("contests/<uuid:pk>/payments/new/", views.add_payment, name="add_payment"),
    path("payments/<uuid:pk>/change/", views.change_payment, name="change_payment"),
    path("payments/<uuid:pk>/delete/", views.delete_payment, name="delete_payment"),
    path("papers/", views.show_papers, name="show_papers"),
    path("papers/new/", views.add_paper, name="add_paper"),
    path("papers/<uuid:pk>/change/", views.change_paper, name="change_paper"),
    path("papers/<uuid:pk>/delete/", views.delete_paper, name="delete_paper"),
]
