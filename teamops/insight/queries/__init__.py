"""What the pages that compose read of the apps below."""

from teamops.insight.queries.board import LedgerBoard, Picture, ledger_board
from teamops.insight.queries.choices import Choices, Selection
from teamops.insight.queries.entry import AccountLine, EntryPage, Grid, entry_page
from teamops.insight.queries.ground import Ground, ledger_choices, ledger_ground
from teamops.insight.queries.ledger import CategoryLedger, LedgerRow, category_ledger
from teamops.insight.queries.scores import ScoresPage, score_filters, scores_page
from teamops.insight.queries.season import SeasonPage, season_page
from teamops.insight.queries.todo import Todo, todo_list
from teamops.insight.queries.trend import Trend, criterion_trend

__all__ = [
    "AccountLine",
    "CategoryLedger",
    "Choices",
    "EntryPage",
    "Grid",
    "Ground",
    "LedgerBoard",
    "LedgerRow",
    "Picture",
    "ScoresPage",
    "SeasonPage",
    "Selection",
    "Todo",
    "Trend",
    "category_ledger",
    "criterion_trend",
    "entry_page",
    "ledger_board",
    "ledger_choices",
    "ledger_ground",
    "score_filters",
    "scores_page",
    "season_page",
    "todo_list",
]
