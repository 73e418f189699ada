from teamops.insight.views.entry import print_entry, show_entry
from teamops.insight.views.ledger import draw_trend, show_ledger
from teamops.insight.views.scores import show_scores
from teamops.insight.views.season import show_season

__all__ = [
    "draw_trend",
    "print_entry",
    "show_entry",
    "show_ledger",
    "show_scores",
    "show_season",
]
