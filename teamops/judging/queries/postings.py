"""A category's field as it was posted: where everybody stands, ours among them."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db.models import Count

from teamops.calc.field import Difference, Entrant, Stand, compare, spread_words, stand
from teamops.calc.words import count_of, list_words, ordinal, plain
from teamops.contests.models import Category, Contest, Entry
from teamops.judging.models import Correction, FieldLine, Posting
from teamops.judging.queries.field import (
    PostedLine,
    entrants,
    lines_of_postings,
    our_results,
    rules_for,
)
from teamops.judging.reckon import posted_words

MOST_READ = 1_000  # lines: with more, only the list shown is compared, with the one before it


@dataclass(frozen=True, slots=True)
class StandingRow:
    """One line of the standing, in words ready to print."""

    place: str
    name: str
    more: str
    total: str
    ours: bool
    says: tuple[str, ...]
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OurLine:
    """A box of ours on the list, and what there is to say about it."""

    entry: Entry
    title: str
    words: tuple[str, ...]
    corrections: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PostedList:
    """One of a category's lists: its day, what it is, and how it differs from the one before."""

    posting: Posting
    title: str
    holds: bool
    words: str
    differences: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class StandingPage:
    """What the page of one list shows; `newer` is the list that holds where this one does not."""

    posting: Posting
    title: str
    rows: tuple[StandingRow, ...]
    summary: str
    spread: str
    says: tuple[str, ...]
    ours: tuple[OurLine, ...]
    missing: tuple[str, ...]
    lists: tuple[PostedList, ...]
    newer: Posting | None

    @property
    def own(self) -> PostedList:
        """The list itself among the others of its category."""
        return next(one for one in self.lists if one.posting == self.posting)


def day_words(posting: Posting) -> str:
    """A list's day and round: “12 June 2025, final table”."""
    day = f"{posting.posted_on.day} {posting.posted_on:%B %Y}"
    return f"{day}, {posting.round}" if posting.round else day


def standing_page(posting: Posting) -> StandingPage:
    """Everything about one list; as many queries however long it is."""
    postings = list(
        Posting.objects.filter(contest=posting.contest_id, category=posting.category_id)
        .select_related("recorded_by")
        .defer("text")
        .annotate(length=Count("lines"))
        .order_by("posted_on", "recorded_at", "pk")
    )
    lines = lines_of_postings(_worth_reading(postings, posting))
    ours = _our_entries(posting.contest_id, posting.category_id)
    rules, criteria = rules_for(ours)
    own_lines = lines.get(posting.pk, [])
    field = _with_draw(
        entrants(own_lines, criteria, our_results(ours)), own_lines, {e.pk: e for e in ours}
    )
    standing = stand(field, rules)
    lists = _lists(postings, lines)
    holder = next((one.posting for one in lists if one.holds and _same_round(one, posting)), None)
    totals = [one.total for one in field if one.total is not None and not one.out]
    return StandingPage(
        posting=posting,
        title=day_words(posting),
        rows=tuple(map(_row, own_lines, field, standing.stands)),
        summary=_summary(field),
        spread=spread_words(totals),
        says=standing.says,
        ours=_ours(ours, own_lines, field),
        missing=_missing(ours, own_lines),
        lists=tuple(reversed(lists)),
        newer=holder if holder and holder.pk != posting.pk else None,
    )


def _worth_reading(postings: Sequence[Any], posting: Posting) -> list[Any]:
    """All lists where they are short; else the one shown, and the one of its round before it."""
    if sum(one.length for one in postings) <= MOST_READ:
        return list(postings)
    same = [one for one in postings if one.round == posting.round]
    place = next(i for i, one in enumerate(same) if one.pk == posting.pk)
    return same[max(0, place - 1) : place + 1]


def _our_entries(contest_id: Any, category_id: Any) -> list[Entry]:
    rows = Entry.objects.filter(contest=contest_id, category=category_id)
    return list(
        rows.select_related("category", "rulebook", "cook_of_record", "result").order_by("pk")
    )


def _same_round(one: PostedList, posting: Posting) -> bool:
    return one.posting.round == posting.round


def _with_draw(
    field: list[Entrant], lines: Sequence[PostedLine], entries: dict[Any, Entry]
) -> list[Entrant]:
    """Numbers of a draw for those level with a box of ours whose tie was drawn, as posted."""
    for line in lines:
        entry = entries.get(line.entry_id)
        if entry is None or entry.tie_way != Entry.TieWay.DRAW or line.total is None:
            continue
        level = [i for i, one in enumerate(field) if one.total == line.total and one.placing]
        order = sorted(level, key=lambda index: field[index].placing or 0)
        if len({field[index].placing for index in level}) == len(level):
            for number, index in enumerate(order, 1):
                field[index] = replace(field[index], drawn=number)
    return field


def _row(line: PostedLine, one: Entrant, at: Stand) -> StandingRow:
    more = [f"number {line.number}" if line.number else ""]
    more += [f"table {line.table}" if line.table else ""]
    more += [f"{name} {value}" for name, value in line.parts.items()]
    more += [line.note]
    return StandingRow(
        place=str(line.placing) if line.placing else "–",
        name=line.name or one.label,
        more=" · ".join(filter(None, more)),
        total="–" if line.total is None else plain(line.total),
        ours=line.entry_id is not None,
        says=at.flags,
        steps=at.steps,
    )


def _summary(field: Sequence[Entrant]) -> str:
    """How many, how many of them out, how many places are shared."""
    out = sum(bool(one.out) for one in field)
    places = Counter(one.placing for one in field if one.placing and not one.out)
    shared = sum(times > 1 for times in places.values())
    words = [f"{len(field)} entr{'y' if len(field) == 1 else 'ies'}"]
    words += [f"{out} not ranked"] if out else []
    words += [f"{count_of(shared, 'shared place')}"] if shared else []
    return ", ".join(words)


def _ours(
    entries: Sequence[Entry], lines: Sequence[PostedLine], field: Sequence[Entrant]
) -> tuple[OurLine, ...]:
    corrections: dict[Any, list[tuple[str, str]]] = {}
    for row in Correction.objects.filter(entry__in=entries).order_by("-corrected_on", "-pk"):
        why = f" ({row.why})" if row.why else ""
        day = f"{row.corrected_on.day} {row.corrected_on:%b %Y}"
        corrections.setdefault(row.entry_id, []).append((day, f"{row.what}{why}"))
    by_entry = {line.entry_id: index for index, line in enumerate(lines) if line.entry_id}
    return tuple(
        OurLine(
            entry=entry,
            title=entry_name(entry),
            words=tuple(_our_words(entry, lines[by_entry[entry.pk]], by_entry[entry.pk], field)),
            corrections=tuple(corrections.get(entry.pk, [])),
        )
        for entry in entries
        if entry.pk in by_entry
    )


def entry_name(entry: Entry) -> str:
    """A box as its team calls it: its cook, or its number, where a category has several."""
    cook = entry.guest_cook or (str(entry.cook_of_record) if entry.cook_of_record else "")
    numbers = [f"number {number}" for number in (entry.team_number, entry.blind_number) if number]
    return " · ".join(filter(None, [str(entry.category), cook, *numbers]))


def _our_words(entry: Entry, line: PostedLine, index: int, field: Sequence[Entrant]) -> list[str]:
    """Where it came, what it shares, and our sum beside the posted one."""
    place = ordinal(line.placing) if line.placing else line.note or "without a place"
    total = "" if line.total is None else f", {plain(line.total)} points"
    words = [f"{place[:1].upper()}{place[1:]} of {len(field)}{total}."]
    level = [
        one for i, one in enumerate(field) if i != index and one.placing == line.placing
        and line.placing and not one.out
    ]  # fmt: skip
    if level:
        words += _purse_words(entry, line.placing or 0, level)
    elif entry.tie_way == Entry.TieWay.DRAW:
        words.append("The tie was settled by a draw.")
    result = getattr(entry, "result", None)
    words.append(posted_words(result.total if result else None, line.total))
    if line.placing != entry.placing and entry.placing:
        words.append(f"The entry itself now says {ordinal(entry.placing)}.")
    return list(filter(None, words))


def _purse_words(entry: Entry, place: int, level: Sequence[Entrant]) -> list[str]:
    """A shared place: with whom, which places it takes up, what that does to the purse."""
    last = place + len(level)
    who = list_words([one.label for one in level[:8]])
    who = f"{who} and {len(level) - 8} more" if len(level) > 8 else who
    words = [f"The place is shared with {who}."]
    if entry.tie_way == Entry.TieWay.DRAW:
        words.append("A draw settled it, as you noted, yet the list has it shared.")
    words.append(
        f"It takes up {ordinal(place)} to {ordinal(last)}: their prizes are commonly added up and "
        f"split in {last - place + 1}; ask how it is done here."
    )
    if entry.prize_owed:
        note = f" ({entry.prize_note})" if entry.prize_note else ""
        words.append(f"Your prize is written as {plain(entry.prize_owed)}{note}.")
    return words


def _missing(entries: Sequence[Entry], lines: Sequence[PostedLine]) -> tuple[str, ...]:
    on_list = {line.entry_id for line in lines}
    return tuple(entry_name(entry) for entry in entries if entry.pk not in on_list)


def _lists(postings: Sequence[Posting], lines: dict[Any, list[PostedLine]]) -> list[PostedList]:
    """The lists of a category, oldest first, each beside the one of its round before it."""
    found: list[PostedList] = []
    before: dict[str, list[Entrant] | None] = {}
    last = {posting.round: posting.pk for posting in postings}
    for posting in postings:
        own = entrants(lines[posting.pk]) if posting.pk in lines else None
        earlier = before.get(posting.round)
        differences = compare(earlier, own) if earlier and own else None
        found.append(
            PostedList(
                posting=posting,
                title=day_words(posting),
                holds=last[posting.round] == posting.pk,
                words=differences.words if differences else "",
                differences=differences.lines if differences else (),
            )
        )
        before[posting.round] = own
    return found


@dataclass(frozen=True, slots=True)
class CategoryLists:
    """A category of a contest with the lists kept for it, newest first."""

    category: Category
    lists: tuple[tuple[Posting, str, bool, int], ...]  # list, title, whether it holds, lines


def category_lists(contest: Contest) -> tuple[CategoryLists, ...]:
    """A contest's categories with the lists that are kept of them; three queries."""
    categories = list(
        Category.objects.filter(entries__contest=contest)
        .distinct()
        .order_by("ancillary", "name", "pk")
    )
    rows = Posting.objects.filter(contest=contest).select_related("category").defer("text")
    postings = list(rows.order_by("-posted_on", "-recorded_at", "-pk"))
    rows_of = FieldLine.objects.filter(posting__contest=contest).order_by()
    counts = dict(rows_of.values_list("posting").annotate(Count("pk")))
    known = {category.pk for category in categories}
    categories += [p.category for p in postings if p.category_id not in known]
    found = []
    for category in dict.fromkeys(categories):
        seen: set[str] = set()
        lists = []
        for posting in (one for one in postings if one.category_id == category.pk):
            holds = posting.round not in seen
            seen.add(posting.round)
            lists.append((posting, day_words(posting), holds, counts.get(posting.pk, 0)))
        found.append(CategoryLists(category, tuple(lists)))
    return tuple(found)
