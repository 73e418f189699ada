"""What is done to packing lists, their lines and the shopping list; whole or not at all."""

from teamops.packing.actions.lines import add_line, change_line, leave_out, take_again
from teamops.packing.actions.make import delete_list, make_list, remake_list
from teamops.packing.actions.shop import buy_all_of, delete_shopping, save_shopping, set_bought
from teamops.packing.actions.shortage import set_have
from teamops.packing.actions.tick import set_stage, tick_line

__all__ = [
    "add_line",
    "buy_all_of",
    "change_line",
    "delete_list",
    "delete_shopping",
    "leave_out",
    "make_list",
    "remake_list",
    "save_shopping",
    "set_bought",
    "set_have",
    "set_stage",
    "take_again",
    "tick_line",
]
