"""Addresses of items, kits and containers."""

from django.urls import path

from teamops.inventory.views import containers, items, kits

app_name = "inventory"
urlpatterns = [
    path("", items.show_items, name="show_items"),
    path("starters/", items.add_starters, name="add_starters"),
    path("items/new/", items.add_item, name="add_item"),
    path("items/<uuid:pk>/", items.change_item, name="change_item"),
    path("items/<uuid:pk>/delete/", items.delete_item, name="delete_item"),
    path("items/<uuid:pk>/kits/new/", kits.add_kit_line, name="add_kit_line"),
    path("kits/", kits.show_kits, name="show_kits"),
    path("kits/new/", kits.add_kit, name="add_kit"),
    path("kits/<uuid:pk>/", kits.change_kit, name="change_kit"),
    path("kits/<uuid:pk>/delete/", kits.delete_kit, name="delete_kit"),
    path("kits/lines/<int:pk>/", kits.change_kit_line, name="change_kit_line"),
    path("kits/lines/<int:pk>/delete/", kits.delete_kit_line, name="delete_kit_line"),
    path("containers/", containers.show_containers, name="show_containers"),
    path("containers/new/", containers.add_container, name="add_container"),
    path("containers/<uuid:pk>/", containers.change_container, name="change_container"),
    path("containers/<uuid:pk>/delete/", containers.delete_container, name="delete_container"),
]
