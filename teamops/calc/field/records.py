"""The entries of a category as a list has them, and what is found about each."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from teamops.calc.scoring import Result


@dataclass(frozen=True, slots=True)
class Entrant:
    """
    One entry of a field; what is not known is None or empty. [points]

    `sums` are its posted sums by criterion key, `result` what its sheets come to where they are
    known, `out` why it is not ranked. `drawn` is its number in a draw, 1 first.
    """

    label: str
    placing: int | None = None
    total: Decimal | None = None
    number: str = ""
    out: str = ""
    sums: Mapping[str, Decimal] = field(default_factory=dict)
    parts: tuple[Decimal, ...] = ()
    result: Result | None = None
    drawn: int | None = None


@dataclass(frozen=True, slots=True)
class Stand:
    """
    Where an entry stands by what is known of it.

    `first` to `last` are the places its total can mean, more than one where a tie stays open; None
    where it is out or has no total. `steps` tell the tie-break as far as it goes, `flags` what
    does not fit, in words.
    """

    first: int | None = None
    last: int | None = None
    steps: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Standing:
    """A whole field: a `Stand` an entry, in their order, and what is odd about the list."""

    stands: tuple[Stand, ...]
    says: tuple[str, ...] = ()
