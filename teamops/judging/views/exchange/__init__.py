"""Pages that bring tables in and take them out."""

from teamops.judging.views.exchange.bring import add_import, repeat_import, show_exchange
from teamops.judging.views.exchange.going import import_progress, undo_import
from teamops.judging.views.exchange.look import show_import, take_in
from teamops.judging.views.exchange.out import download_template, export_csv, export_xlsx

__all__ = [
    "add_import",
    "download_template",
    "export_csv",
    "export_xlsx",
    "import_progress",
    "repeat_import",
    "show_exchange",
    "show_import",
    "take_in",
    "undo_import",
]
