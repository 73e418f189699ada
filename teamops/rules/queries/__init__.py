"""Rulebooks found, and said in words."""

from teamops.rules.queries.books import (
    Shelf,
    choice_label,
    default_rulebook,
    grouped_label,
    offered_rulebooks,
    shelf,
    team_rulebooks,
)
from teamops.rules.queries.differences import Difference, differences
from teamops.rules.queries.example import WorkedExample, example_of, work_out
from teamops.rules.queries.format import criterion_rows, format_rows
from teamops.rules.queries.page import RulebookPage, book_page, rulebook_page
from teamops.rules.queries.words import Fact, full_box, total_words

__all__ = [
    "Difference",
    "Fact",
    "RulebookPage",
    "Shelf",
    "WorkedExample",
    "book_page",
    "choice_label",
    "criterion_rows",
    "default_rulebook",
    "differences",
    "example_of",
    "format_rows",
    "full_box",
    "grouped_label",
    "offered_rulebooks",
    "rulebook_page",
    "shelf",
    "team_rulebooks",
    "total_words",
    "work_out",
]
