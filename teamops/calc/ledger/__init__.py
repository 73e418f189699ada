"""Where the points went: exactly at one contest, on average, and usually, with how sure we are."""

from teamops.calc.ledger.exact import (
    AverageLine,
    AverageLosses,
    Ledger,
    LedgerLine,
    average_losses,
    entry_ledger,
)
from teamops.calc.ledger.usual import UsualLine, UsualLosses, Verdict, usual_losses
from teamops.calc.ledger.wording import usual_sentence

__all__ = [
    "AverageLine",
    "AverageLosses",
    "Ledger",
    "LedgerLine",
    "UsualLine",
    "UsualLosses",
    "Verdict",
    "average_losses",
    "entry_ledger",
    "usual_losses",
    "usual_sentence",
]
