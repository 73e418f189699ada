"""One line of a list under one stage, in words."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone

from teamops.calc.units import show_mass
from teamops.packing.models import PackingLine
from teamops.packing.stages import WORDS, Stage
from teamops.packing.words import say_amount

TOLD_ON_PAPER = ("part", "short", "gone")


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One line under one stage.

    `press` names what a press asks for, empty where there is nothing to press; `pressed` is the
    button's state for a screen reader. `look` is one of done, part, open, short, gone. `note` and
    `ticks` are for paper: what to mind, and a box for each stage, none where there is nothing to
    bring home.
    """

    line_id: UUID
    amount: str
    name: str
    press: str
    pressed: str
    state: str
    look: str
    working: str
    more: str
    note: str
    mass: str
    ticks: tuple[bool | None, ...]


@dataclass(frozen=True, slots=True)
class Around:
    """What a row needs to know besides its line: people by id, lines that are being bought."""

    stage: Stage
    units: str
    names: dict[int, str]
    to_buy: frozenset[UUID]


def board_row(line: PackingLine, around: Around) -> BoardRow:
    """A line in words; it carries `is_done` for the stage."""
    press, pressed, state, look = _state(line, around)
    return BoardRow(
        line_id=line.pk,
        amount=say_amount(line.amount, line.unit),
        name=line.name,
        press=press,
        pressed=pressed,
        state=state,
        look=look,
        working=working_words(line),
        more=" · ".join(_more(line, around)),
        note=" · ".join(
            part for part in (state if look in TOLD_ON_PAPER else "", line.note) if part
        ),
        mass=show_mass(line.amount * line.mass_kg, around.units) if line.mass_kg else "",
        ticks=(
            line.packed_at is not None,
            line.loaded_at is not None,
            None if line.consumable else line.home_at is not None,
        ),
    )


def _state(line: PackingLine, around: Around) -> tuple[str, str, str, str]:
    """Press, pressed, state in words, look."""
    words, stage = WORDS[around.stage], around.stage
    done = line.is_done  # type: ignore[attr-defined]
    if line.gone:
        press = words.undo if _ticked(line, stage) else ""
        return press, "true" if press else "false", "not needed any more", "gone"
    if done:
        return words.undo, "true", words.done + _too_many(line, stage), "done"
    short = short_words(line, bought=line.pk in around.to_buy)
    if not line.have and short and not _ticked(line, stage):
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


def _ticked(line: PackingLine, stage: Stage) -> bool:
    moments = {Stage.PACK: line.packed_at, Stage.LOAD: line.loaded_at, Stage.HOME: line.home_at}
    return moments[stage] is not None


def _too_many(line: PackingLine, stage: Stage) -> str:
    if stage is not Stage.PACK or line.packed_amount is None or line.packed_amount == line.amount:
        return ""
    return f", {say_amount(line.packed_amount - line.amount, line.unit)} too many"


def short_words(line: PackingLine, *, bought: bool) -> str:
    """What a line is short of, and whether somebody is buying it; nothing if it is not short."""
    if line.have is None:
        return ""
    words = f"{say_amount(line.amount - line.have, line.unit)} short"
    return f"{words}, on the shopping list" if bought else words


def working_words(line: PackingLine) -> str:
    """How an amount came about."""
    if line.own:
        return "Added by hand."
    if line.gone:
        return "Was worked out before; the numbers no longer ask for it."
    if not line.amount_own:
        return line.working
    return f"Changed by hand to {say_amount(line.amount, line.unit)}. Worked out: {line.working}"


def _more(line: PackingLine, around: Around) -> list[str]:
    """Who did what when, and what was noted."""
    moments = (
        ("packed", line.packed_at, line.packed_by_id),
        ("loaded", line.loaded_at, line.loaded_by_id),
        ("home", line.home_at, line.home_by_id),
    )
    rows = [
        f"{word} by {around.names.get(by, 'somebody')}, {_when(at)}"
        for word, at, by in moments
        if at is not None and by is not None
    ]
    return [*rows, line.note] if line.note else rows


def _when(moment: datetime) -> str:
    """Sat 3:04 pm, on the page's clock."""
    local = timezone.localtime(moment)
    return f"{local:%a} {local.hour % 12 or 12}:{local:%M} {'am' if local.hour < 12 else 'pm'}"
