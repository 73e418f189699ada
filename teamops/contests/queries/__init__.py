"""What pages and papers read of contests."""

from teamops.contests.queries.contest import (
    ContestStory,
    contest_story,
    contest_warnings,
    day_moments,
    opening_words,
    waiting_since,
    weather_words,
)
from teamops.contests.queries.dates import due
from teamops.contests.queries.entering import entering_due, entering_rows
from teamops.contests.queries.entry import (
    BoxRow,
    box_rows,
    box_words,
    entry_story,
    entry_warnings,
    prize_words,
)
from teamops.contests.queries.fees import FeeNow, fee_now, fee_steps
from teamops.contests.queries.papers import PaperRow, paper_rows, papers_due, papers_short
from teamops.contests.queries.payments import PaymentsPart, payments_part, purse_of
from teamops.contests.queries.prep import PrepBox, PrepRow, PrepSheet, prep_sheet
from teamops.contests.queries.protest import ProtestState, protest_state
from teamops.contests.queries.tickets import (
    Ticket,
    coming_tickets,
    contests_by_year,
    ticket_of,
    with_entries,
)
from teamops.contests.queries.words import (
    addresses,
    clock,
    drive,
    ordinal,
    time_of_day,
    today_of,
    whose,
    window,
)

__all__ = [
    "BoxRow",
    "ContestStory",
    "FeeNow",
    "PaperRow",
    "PaymentsPart",
    "PrepBox",
    "PrepRow",
    "PrepSheet",
    "ProtestState",
    "Ticket",
    "addresses",
    "box_rows",
    "box_words",
    "clock",
    "coming_tickets",
    "contest_story",
    "contest_warnings",
    "contests_by_year",
    "day_moments",
    "drive",
    "due",
    "entering_due",
    "entering_rows",
    "entry_story",
    "entry_warnings",
    "fee_now",
    "fee_steps",
    "opening_words",
    "ordinal",
    "paper_rows",
    "papers_due",
    "papers_short",
    "payments_part",
    "prep_sheet",
    "prize_words",
    "protest_state",
    "purse_of",
    "ticket_of",
    "time_of_day",
    "today_of",
    "waiting_since",
    "weather_words",
    "whose",
    "window",
    "with_entries",
]
