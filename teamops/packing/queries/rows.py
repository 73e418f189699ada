"""One line of a list under one stage, in words."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import NamedTuple
from uuid import UUID

from teamops.calc.units import show_mass
from teamops.inventory.words import say_amount
from teamops.packing.models import PackingLine
from teamops.packing.stages import WORDS, Stage

TOLD_ON_PAPER = ("part", "short", "gone")


class LineFacts(NamedTuple):
    """What a board reads of a line, as on `PackingLine`: a third of a model's cost, 300 times."""

    pk: UUID
    name: str
    unit: str
    consumable: bool
    mass_kg: Decimal
    container: str
    container_kind: str
    container_whole: bool
    amount: Decimal
    working: str
    own: bool
    amount_own: bool
    gone: bool
    have: Decimal | None
    note: str
    packed_at: datetime | None
    packed_by: int | None
    packed_amount: Decimal | None
    loaded_at: datetime | None
    loaded_by: int | None
    home_at: datetime | None
    home_by: int | None

    def tick(self, stage: Stage) -> tuple[datetime | None, int | None]:
        """When and by whom it was ticked for a stage."""
        if stage is Stage.PACK:
            return self.packed_at, self.packed_by
        if stage is Stage.LOAD:
            return self.loaded_at, self.loaded_by
        return self.home_at, self.home_by

    def shown(self, stage: Stage) -> bool:
        """Whether a stage shows it: what gets used up does not come home."""
        return not (stage is Stage.HOME and self.consumable)

    def is_done(self, stage: Stage) -> bool:
        """Whether nothing of it is left to do for a stage; `sums.DONE` says the same in SQL."""
        if stage is Stage.PACK:
            return self.packed_amount is not None and self.packed_amount >= self.amount
        return self.tick(stage)[0] is not None


class ListState(NamedTuple):
    """How new a list is: the count of writes to it, and that count when lines came or went."""

    pk: UUID
    state: int
    shape: int


class BoardRow(NamedTuple):
    """One line under one stage.

    `press` names what a press asks for, empty where there is nothing to press; `pressed` is the
    button's state for a screen reader. `look` is one of done, part, open, short, gone. `how` is
    told when the row is opened. `note` and `ticks` are for paper: what to mind, and a box for each
    stage, none where there is nothing to bring home.
    """

    key: str
    press: str
    pressed: str
    look: str
    amount: str
    name: str
    state: str
    how: str
    note: str
    mass: str
    ticks: tuple[bool | None, ...]


@dataclass(frozen=True, slots=True)
class Around:
    """What a row needs to know besides its line: people by id, lines that are being bought.

    `may_press` is off for somebody who may only look.
    """

    stage: Stage
    units: str
    may_press: bool
    names: dict[int, str]
    to_buy: frozenset[UUID]


def board_row(line: LineFacts, around: Around) -> BoardRow:
    """A line in words."""
    press, pressed, state, look = _state(line, around)
    weighs = line.mass_kg and not line.gone
    mass = show_mass(line.amount * line.mass_kg, around.units) if weighs else ""
    how = [part for part in (working_words(line), mass, line.note) if part]
    told = (state if look in TOLD_ON_PAPER else "", line.note)
    return BoardRow(
        key=str(line.pk),
        press=press if around.may_press else "",
        pressed=pressed,
        look=look,
        amount=say_amount(line.amount, line.unit),
        name=line.name,
        state=state,
        how=" · ".join(how),
        note=" · ".join(part for part in told if part),
        mass=mass,
        ticks=(
            line.packed_at is not None,
            None if line.gone else line.loaded_at is not None,
            None if line.gone or line.consumable else line.home_at is not None,
        ),
    )


def _state(line: LineFacts, around: Around) -> tuple[str, str, str, str]:
    """Press, pressed, state in words, look."""
    words, stage = WORDS[around.stage], around.stage
    at, by = line.tick(stage)
    if line.gone:
        press = words.undo if at else ""
        state = f"{words.done}, but not needed any more" if at else "not needed any more"
        return press, "true" if at else "false", state, "gone"
    if at and line.is_done(stage):
        who = f"{words.done} by {around.names.get(by or 0, 'somebody')}"
        return words.undo, "true", f"{who}{_too_many(line, stage)}", "done"
    short = short_words(line, bought=line.pk in around.to_buy)
    if short and not line.have and not at:
        return "", "false", f"none here: {short}", "short"
    if stage is Stage.PACK and line.packed_amount is not None:
        packed = f"{say_amount(line.packed_amount, line.unit)} packed, "
        if short:
            return words.undo, "mixed", packed + short, "short"
        more = say_amount(line.amount - line.packed_amount, line.unit)
        return words.press, "mixed", f"{packed}{more} more to pack", "part"
    if short and stage is Stage.PACK:
        return words.press, "false", short, "short"
    return words.press, "false", words.to_do, "open"


def _too_many(line: LineFacts, stage: Stage) -> str:
    if stage is not Stage.PACK or line.packed_amount in (None, line.amount):
        return ""
    more = (line.packed_amount or Decimal(0)) - line.amount
    return f", {say_amount(more, line.unit)} too many"


def short_words(line: LineFacts | PackingLine, *, bought: bool) -> str:
    """What a line is short of, and whether somebody is buying it; nothing if it is not short."""
    if line.have is None:
        return ""
    words = f"{say_amount(line.amount - line.have, line.unit)} short"
    return f"{words}, on the shopping list" if bought else words


def working_words(line: LineFacts | PackingLine) -> str:
    """How an amount came about."""
    if line.own:
        return "Added by hand."
    if line.gone:
        return "Was worked out before; the numbers no longer ask for it."
    if not line.amount_own:
        return line.working
    return f"Changed by hand to {say_amount(line.amount, line.unit)}. Worked out: {line.working}"
