"""Addresses of packing lists and shopping."""

from django.urls import path

from teamops.packing.views import board, lines, linked, lists, shopping

app_name = "packing"
urlpatterns = [
    path("", lists.show_lists, name="show_lists"),
    path("trips/<uuid:pk>/new/", lists.make_list, name="make_list"),
    path("<uuid:pk>/", board.show_list, name="show_list"),
    path("<uuid:pk>/tick/", board.set_line, name="set_line"),
    path("<uuid:pk>/news/", board.show_news, name="show_news"),
    path("<uuid:pk>/numbers/", lists.change_numbers, name="change_numbers"),
    path("<uuid:pk>/delete/", lists.delete_list, name="delete_list"),
    path("<uuid:pk>/list.pdf", lists.print_list, name="print_list"),
    path("<uuid:pk>/link/", linked.share_list, name="share_list"),
    path("<uuid:pk>/lines/new/", lines.add_line, name="add_line"),
    path("<uuid:pk>/shopping/", shopping.buy_used_up, name="buy_used_up"),
    path("lines/<uuid:pk>/", lines.show_line, name="show_line"),
    path("lines/<uuid:pk>/change/", lines.change_line, name="change_line"),
    path("lines/<uuid:pk>/have/", lines.set_have, name="set_have"),
    path("lines/<uuid:pk>/out/", lines.leave_out, name="leave_out"),
    path("lines/<uuid:pk>/again/", lines.take_again, name="take_again"),
    path("shopping/", shopping.show_shopping, name="show_shopping"),
    path("shopping/tick/", shopping.set_bought, name="set_bought"),
    path("shopping/new/", shopping.add_shopping, name="add_shopping"),
    path("shopping/<uuid:pk>/", shopping.change_shopping, name="change_shopping"),
    path("shopping/<uuid:pk>/delete/", shopping.delete_shopping, name="delete_shopping"),
]
