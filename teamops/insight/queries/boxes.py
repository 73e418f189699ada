"""Photos of boxes and cuts beside what judges gave, and which boxes have none."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, NamedTuple
from uuid import UUID

from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.utils import timezone

from teamops.calc.units import show_temperature
from teamops.contests.models import Category, Contest, Entry, EntryPhoto
from teamops.contests.queries import whose
from teamops.contests.queries.photos import PhotoRow, may_see, photo_row
from teamops.insight.links import Links
from teamops.insight.queries.named import appearance_of, doneness_of
from teamops.insight.queries.narrow import GUESTS, cook_key
from teamops.insight.words import placing_words
from teamops.judging.models import CriterionResult
from teamops.rules.models import Criterion
from teamops.teams.models import Membership, Team, User
from teamops.teams.roles import Permission

A_PAGE = 24
LISTED = 12  # boxes without a photo that are named
TAUGHT_BY = (EntryPhoto.Shows.BOX, EntryPhoto.Shows.CUT)
DONENESS, APPEARANCE = "Doneness", "Appearance"
BEST, LATEST = "mark", "date"
SEEN = {"under": "due", "right": "ok", "over": "hot"}  # how each is stamped


@dataclass(frozen=True, slots=True)
class BoxesAsked:
    """What was chosen; `shows` is box, cut or empty for both, `compare` ids of boxes ticked."""

    category: UUID | None = None
    cook: str = ""
    shows: str = ""
    order: str = BEST
    page: int = 1
    compare: tuple[UUID, ...] = ()

    @property
    def kinds(self) -> tuple[str, ...]:
        return (self.shows,) if self.shows else TAUGHT_BY


@dataclass(frozen=True, slots=True)
class TaughtBox:
    """A box with its photos, how its cut was seen and what judges gave, in words to print."""

    entry_id: str
    name: str
    contest: str
    day: str
    url: str
    photos: tuple[PhotoRow, ...]
    seen: str
    look: str
    lines: tuple[tuple[str, str], ...]
    ticked: bool


@dataclass(frozen=True, slots=True)
class BoxesPage:
    """The boxes with photos, a page of them; two side by side; and those without a photo.

    `missing` names some of the `without` boxes that have none of the kind, each with the address
    where one is added, or with none where the member may not. `ticked` are ids ticked elsewhere.
    """

    boxes: tuple[TaughtBox, ...]
    pair: tuple[TaughtBox, ...]
    count: int
    page: int
    pages: int
    without: int
    missing: tuple[tuple[str, str], ...]
    ticked: tuple[str, ...]

    @property
    def newer(self) -> int:
        return self.page - 1

    @property
    def older(self) -> int:
        return self.page + 1

    @property
    def unnamed(self) -> int:
        """How many without a photo are not named."""
        return self.without - len(self.missing)

    @property
    def columns(self) -> list[tuple[TaughtBox, str]]:
        """The two side by side, each with what tells it apart for those who hear the page."""
        return [(box, f"{box.name}, {box.contest}") for box in self.pair]


class _Row(NamedTuple):
    """What the choice and the order of a box hang on."""

    pk: UUID
    held_on: date
    contest: str
    category: str
    rulebook_id: UUID
    cook: str
    photos: int


class _Mark(NamedTuple):
    """A mean mark and its scale, which may be open."""

    mean: Decimal
    least: Decimal | None
    most: Decimal | None

    @property
    def share(self) -> Decimal | None:
        """Where it stands on its scale, from 0 to 1; None on an open one."""
        if self.least is None or self.most is None:
            return None
        return (self.mean - self.least) / (self.most - self.least)

    @property
    def words(self) -> str:
        return f"{self.mean:.2f}" + (f" of {self.most.normalize():f}" if self.most else "")


Marks = Mapping[UUID, Mapping[str, _Mark]]


def boxes_page(membership: Membership, today: date, asked: BoxesAsked) -> BoxesPage:
    """What was chosen of the boxes cooked by today; five queries, however many there are.

    As this member may see them: those who only read see a contest's photos from its awards on.
    """
    team = membership.team
    rows = _rows(membership, today, asked)
    marks = _marks(team, rows)
    having = [row for row in rows if row.photos]
    without = [row for row in rows if not row.photos]
    having.sort(key=lambda row: _order(row, marks, asked.order))
    shown = Paginator(having, A_PAGE).get_page(asked.page)
    ids = [row.pk for row in shown.object_list]
    known = {row.pk for row in having}
    pair = [pk for pk in dict.fromkeys(asked.compare) if pk in known][:2]
    taught = _taught(membership, {*ids, *pair}, marks, asked)
    links, may_log = Links(team), membership.may(Permission.LOG)
    return BoxesPage(
        boxes=tuple(taught[pk] for pk in ids if pk in taught),
        pair=tuple(taught[pk] for pk in pair if pk in taught) if len(pair) == 2 else (),
        count=len(having),
        page=shown.number,
        pages=shown.paginator.num_pages,
        without=len(without),
        missing=tuple(
            (
                f"{row.category}, {row.contest}, {_day(row.held_on)}",
                links.to("contests:add_photo", row.pk) if may_log else "",
            )
            for row in without[:LISTED]
        ),
        ticked=tuple(str(pk) for pk in pair if pk not in ids),
    )


def _rows(membership: Membership, today: date, asked: BoxesAsked) -> list[_Row]:
    """The boxes that were cooked and may be seen, the latest first; one query."""
    entries = (
        Entry.objects.for_team(membership.team)
        .filter(cooked_for="", contest__held_on__lte=today)
        .exclude(state__in=Entry.OUT)
        .exclude(contest__state__in=Contest.OFF)
    )
    if asked.category:
        entries = entries.filter(category=asked.category)
    found: Iterable[Any] = (
        entries.annotate(taught=Count("photos", filter=Q(photos__shows__in=asked.kinds)))
        .order_by("-contest__held_on", "contest__name", "category__ancillary", "pk")
        .values_list(
            "pk", "contest__held_on", "contest__name", "category__name", "rulebook_id",
            "cook_of_record_id", "guest_cook", "taught",
            "contest__awards_at", "contest__time_zone", "contest__clock_offset_seconds",
        )
    )  # fmt: skip
    now, sees_all = timezone.now(), membership.may(Permission.LOG)
    rows = [
        _Row(pk, day, name, category, book, cook_key(cook, guest), photos)
        for pk, day, name, category, book, cook, guest, photos, *awards in found
        if sees_all or _is_open(membership, now, day, *awards)
    ]
    return [row for row in rows if asked.cook in ("", row.cook)]


def _is_open(
    membership: Membership,
    now: datetime,
    held_on: date,
    awards_at: datetime | None,
    zone: str,
    offset: int | None,
) -> bool:
    """Whether somebody who only reads sees the photos of a contest that is like this."""
    contest = Contest(
        held_on=held_on, awards_at=awards_at, time_zone=zone, clock_offset_seconds=offset
    )
    return may_see(contest, membership, now)


def _marks(team: Team, rows: Sequence[_Row]) -> Marks:
    """Mean marks of doneness and appearance by box, as its rulebook calls them; two queries."""
    by_book: dict[UUID, list[Criterion]] = {}
    criteria = Criterion.objects.for_team(team)
    for criterion in criteria.filter(rulebook__in={row.rulebook_id for row in rows}):
        by_book.setdefault(criterion.rulebook_id, []).append(criterion)
    kinds: dict[int, tuple[str, Criterion]] = {}
    for some in by_book.values():
        for name, guess in ((APPEARANCE, appearance_of(some)), (DONENESS, doneness_of(some))):
            if guess:
                kinds[guess.pk] = name, guess
    found: dict[UUID, dict[str, _Mark]] = {}
    lines = CriterionResult.objects.for_team(team).filter(
        criterion__in=list(kinds), mean__isnull=False
    )
    told: Iterable[Any] = lines.order_by().values_list("result_id", "criterion_id", "mean")
    for entry, criterion_id, mean in told:
        name, criterion = kinds[criterion_id]
        found.setdefault(entry, {})[name] = _Mark(mean, criterion.least, criterion.most)
    return found


def _order(row: _Row, marks: Marks, order: str) -> tuple[Any, ...]:
    """Best marked first, what has no mark last; or the latest first."""
    by_date = (-row.held_on.toordinal(), row.contest, row.category, row.pk.hex)
    mark = marks.get(row.pk, {}).get(DONENESS)
    if order == LATEST:
        return by_date
    share = mark.share if mark else None
    return (share is None, -(share or 0), *by_date)


def _taught(
    membership: Membership, wanted: set[UUID], marks: Marks, asked: BoxesAsked
) -> dict[UUID, TaughtBox]:
    """These boxes with their photos; two queries."""
    team = membership.team
    rows = Entry.objects.for_team(team).filter(pk__in=wanted)
    entries = {
        entry.pk: entry for entry in rows.select_related("contest", "category", "cook_of_record")
    }
    photos: dict[UUID, list[EntryPhoto]] = {}
    kept = EntryPhoto.objects.for_team(team).filter(entry__in=wanted, shows__in=asked.kinds)
    for shown in kept.select_related("photo").order_by("shows", "photo__taken_at", "pk"):
        photos.setdefault(shown.entry_id, []).append(shown)
    links = Links(team)
    return {
        pk: _box(membership, entry, photos.get(pk, []), marks.get(pk, {}), links, asked)
        for pk, entry in entries.items()
    }


def _box(
    membership: Membership,
    entry: Entry,
    photos: Iterable[EntryPhoto],
    marks: Mapping[str, _Mark],
    links: Links,
    asked: BoxesAsked,
) -> TaughtBox:
    contest, cook = entry.contest, whose(entry)
    lines = [(name, marks[name].words) for name in (DONENESS, APPEARANCE) if name in marks]
    if entry.peak_c is not None:
        lines.append(("Peak", show_temperature(entry.peak_c, membership.team.units)))
    placing = placing_words(entry.placing, entry.field_size, tied=entry.tied)
    if placing:
        lines.append(("Placing", placing))
    return TaughtBox(
        entry_id=str(entry.pk),
        name=f"{entry.category}, {cook}" if cook else str(entry.category),
        contest=contest.name,
        day=_day(contest.held_on),
        url=links.to("insight:show_entry", entry.pk)
        if marks
        else links.to("contests:show_contest", contest.pk),
        photos=tuple(photo_row(shown, entry, membership) for shown in photos),
        seen=entry.get_doneness_seen_display() if entry.doneness_seen else "",
        look=SEEN.get(entry.doneness_seen, ""),
        lines=tuple(lines),
        ticked=entry.pk in asked.compare,
    )


def _day(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def box_filters(team: Team) -> tuple[Sequence[Category], list[tuple[str, str]]]:
    """The team's categories, and who has cooked its boxes; three queries."""
    entries = Entry.objects.for_team(team)
    cooks = User.objects.filter(pk__in=entries.values("cook_of_record")).order_by("name", "pk")
    guests = [(GUESTS, "guests")] * entries.exclude(guest_cook="").exists()
    return list(Category.objects.for_team(team)), [
        *((str(user.pk), str(user)) for user in cooks),
        *guests,
    ]
