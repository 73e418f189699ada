"""What pages and papers read of contests."""

from teamops.contests.queries.dates import due
from teamops.contests.queries.prep import PrepBox, PrepRow, PrepSheet, prep_sheet
from teamops.contests.queries.tickets import (
    Ticket,
    coming_tickets,
    contests_by_year,
    ticket_of,
    with_entries,
)
from teamops.contests.queries.words import clock, drive, ordinal, time_of_day, today_of, window

__all__ = [
    "PrepBox",
    "PrepRow",
    "PrepSheet",
    "Ticket",
    "clock",
    "coming_tickets",
    "contests_by_year",
    "drive",
    "due",
    "ordinal",
    "prep_sheet",
    "ticket_of",
    "time_of_day",
    "today_of",
    "window",
    "with_entries",
]
