"""What pages and papers read of packing lists and shopping."""

from teamops.packing.queries.ahead import Ahead, due, lists_ahead
from teamops.packing.queries.board import Board, BoardBox, BoardNews, board_news, packing_board
from teamops.packing.queries.lists import TripRow, TripRows, contest_lines, trip_rows
from teamops.packing.queries.numbers import Guess, guess_numbers
from teamops.packing.queries.rows import BoardRow, ListState, short_words, working_words
from teamops.packing.queries.shopping import Shopping, shopping_page, used_up

__all__ = [
    "Ahead",
    "Board",
    "BoardBox",
    "BoardNews",
    "BoardRow",
    "Guess",
    "ListState",
    "Shopping",
    "TripRow",
    "TripRows",
    "board_news",
    "contest_lines",
    "due",
    "guess_numbers",
    "lists_ahead",
    "packing_board",
    "shopping_page",
    "short_words",
    "trip_rows",
    "used_up",
    "working_words",
]
