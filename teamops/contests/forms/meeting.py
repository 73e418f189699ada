"""What is asked on a line of the meeting when it is changed."""

from datetime import UTC, datetime, time, timedelta
from typing import Any, cast

from django import forms
from django.core.validators import MaxValueValidator
from django.db import models

from teamops.contests.forms.moments import WallForm, wall_time
from teamops.contests.models import Contest, Entry
from teamops.contests.queries.meeting import OFFSET, WINDOW
from teamops.contests.queries.windows import offset_from_reading
from teamops.web.forms import FriendlyForm, PlainCharField

MOST_OFFSET = 24 * 3600  # [s]
MOST_WALK = 4 * 3600  # [s]
TRUST_A_TAP = timedelta(minutes=10)
OVER_MIDNIGHT = timedelta(hours=18)
AHEAD, BEHIND = "ahead", "behind"


def tapped(milliseconds: int | None, now: datetime) -> datetime:
    """The moment of a press: the phone's, carried by the press itself, or its arrival.

    A weak signal may carry a press for minutes; one that lies further from now was never ours.
    """
    if milliseconds is None:
        return now
    moment = datetime.fromtimestamp(milliseconds / 1000, tz=UTC)
    return moment if now - TRUST_A_TAP <= moment <= now + timedelta(seconds=5) else now


def tap_field() -> forms.IntegerField:
    """When the thumb came down, filled in by the page's script; empty without it."""
    widget = forms.HiddenInput(attrs={"data-tapped": ""})
    return forms.IntegerField(required=False, min_value=0, max_value=10**14, widget=widget)


class LineForm(FriendlyForm, forms.Form):
    """One line of the meeting. `change` is what is to be kept, by the field it is kept in."""

    def __init__(self, *args: Any, contest: Contest, entry: Entry | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.contest, self.entry = contest, entry

    @property
    def change(self) -> dict[str, Any]:
        return dict(self.cleaned_data)


class ClockForm(LineForm):
    """The official clock: press when it reads a minute, or say the seconds it is out."""

    reads = wall_time("It reads")
    tapped_at = tap_field()
    seconds = forms.IntegerField(label="Seconds", required=False, min_value=0)
    way = forms.ChoiceField(
        label="The official clock is",
        required=False,
        choices=[(AHEAD, "ahead of ours"), (BEHIND, "behind ours")],
    )
    now: datetime

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        seconds, reads = cleaned.get("seconds"), cleaned.get("reads")
        if self.errors:
            return cleaned
        if seconds is not None:
            offset = -seconds if cleaned.get("way") == BEHIND else seconds
        elif isinstance(reads, time):
            at = tapped(cleaned.get("tapped_at"), self.now)
            offset = offset_from_reading(reads, at, self.contest.zone)
        else:
            self.add_error("seconds", "Press at a minute of the official clock, or type seconds.")
            return cleaned
        if abs(offset) > MOST_OFFSET:
            self.add_error("seconds", "A clock is at most a day out: 86400 seconds.")
        return {OFFSET: offset}


class TextForm(LineForm):
    """A line in words."""

    def __init__(self, *args: Any, field: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        column = cast("models.CharField", Contest._meta.get_field(field))
        longest = column.max_length or 200
        lines = forms.Textarea(attrs={"rows": 3}) if longest > 200 else forms.TextInput()
        self.fields[field] = PlainCharField(
            label="As said", max_length=longest, required=False, widget=lines,
            initial=getattr(self.contest, field),
        )  # fmt: skip


class WalkForm(LineForm):
    """The walk to the turn-in table at the pace it will be walked, box in hand."""

    minutes = forms.IntegerField(label="Minutes", required=False, min_value=0, max_value=240)
    seconds = forms.IntegerField(label="Seconds", required=False, min_value=0, max_value=MOST_WALK)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.contest.walk_seconds is not None:
            minutes, seconds = divmod(self.contest.walk_seconds, 60)
            self.initial["minutes"], self.initial["seconds"] = minutes, seconds

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        minutes, seconds = cleaned.get("minutes"), cleaned.get("seconds")
        if minutes is None and seconds is None:
            return {"walk_seconds": None}
        return {"walk_seconds": 60 * (minutes or 0) + (seconds or 0)}


class ProtestMinutesForm(LineForm):
    """Minutes to protest."""

    protest_minutes = forms.IntegerField(
        label="Minutes",
        required=False,
        min_value=0,
        validators=[MaxValueValidator(10_080, "That is more than a week.")],
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["protest_minutes"] = self.contest.protest_minutes


class AwardsForm(WallForm, LineForm):
    """When the awards are, by the official clock."""

    awards = wall_time("Awards at")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        at = self.contest.awards_at
        local = at.astimezone(self.contest.zone) if at else None
        self.initial["awards"] = local.time() if local else None
        self.add_day(self.contest, local.date() if local else None)

    def clean(self) -> dict[str, Any]:
        self.cleaned_data = super().clean() or self.cleaned_data
        return {"awards_at": self.moment("awards")}


class WindowForm(WallForm, LineForm):
    """A window by the official clock: open and close, or its centre and minutes either side."""

    opens = wall_time("Opens")
    closes = wall_time("Closes")
    centre = wall_time("Or its centre")
    either_side = forms.IntegerField(
        label="and minutes either side", required=False, min_value=1, max_value=720
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        entry, day = self.box, None
        ends = {"opens": entry.window_opens_at, "closes": entry.window_closes_at}
        for name, moment in ends.items():
            if moment:
                local = moment.astimezone(self.contest.zone)
                self.initial[name], day = local.time(), day or local.date()
        minutes = entry.rulebook.window_minutes
        if minutes and minutes % 2 == 0:
            self.initial["either_side"] = minutes // 2
        self.add_day(self.contest, day)

    @property
    def box(self) -> Entry:
        if self.entry is None:
            raise TypeError("a window is one box's")
        return self.entry

    def clean(self) -> dict[str, Any]:
        self.cleaned_data = cleaned = super().clean() or self.cleaned_data
        centre, side = self.moment("centre"), cleaned.get("either_side")
        if centre and not side and "either_side" not in self.errors:
            self.add_error("either_side", "How many minutes either side of it?")
        if centre and side:
            around = timedelta(minutes=side)
            opens, closes = centre - around, centre + around
            return {"window_opens_at": opens, "window_closes_at": closes}
        opens_at, closes_at = self.moment("opens"), self.moment("closes")
        if opens_at and closes_at is None and "closes" not in self.errors:
            minutes = self.box.rulebook.window_minutes
            closes_at = opens_at + timedelta(minutes=minutes) if minutes else None
        if opens_at and closes_at and opens_at - closes_at > OVER_MIDNIGHT:
            closes_at += timedelta(days=1)  # ten to midnight until ten past
        if opens_at and closes_at and opens_at >= closes_at:
            self.add_error("closes", "The turn-in window must open before it closes.")
        return {"window_opens_at": opens_at, "window_closes_at": closes_at}


FORMS: dict[str, type[LineForm]] = {
    OFFSET: ClockForm,
    "walk_seconds": WalkForm,
    "protest_minutes": ProtestMinutesForm,
    "awards_at": AwardsForm,
    WINDOW: WindowForm,
}


def line_form(
    line: str, contest: Contest, entry: Entry | None, *, now: datetime, data: Any = None
) -> LineForm:
    """The form that changes a line; its ids are the line's own, as a page holds many."""
    place = f"{line}-{entry.pk}" if entry else line
    known: dict[str, Any] = {"contest": contest, "entry": entry, "auto_id": f"{place}-%s"}
    if line not in FORMS:
        return TextForm(data, field=line, **known)
    form = FORMS[line](data, **known)
    if isinstance(form, ClockForm):
        form.now = now
        ahead = (now + timedelta(seconds=(contest.clock_offset_seconds or 0) + 60)).astimezone(
            contest.zone
        )
        form.initial["reads"] = ahead.time().replace(second=0, microsecond=0)
    return form


class MoveForm(forms.Form):
    """Move the other windows by as much: which word moved the first, and how far."""

    word = forms.UUIDField()
    seconds = forms.IntegerField(min_value=-7 * 86_400, max_value=7 * 86_400)
