"""Which box a row is about: by category, by the number on it, by who cooked it; or to be made."""

from collections.abc import Collection, Sequence

from teamops.calc.reading import plain_name, plain_words
from teamops.calc.words import list_words
from teamops.contests.models import Entry
from teamops.judging.imports.asking import Asking
from teamops.judging.imports.categories import category_options
from teamops.judging.imports.columns import Columns
from teamops.judging.imports.days import Unread
from teamops.judging.imports.drafts import ContestDraft, EntryDraft
from teamops.judging.imports.fields import criterion_of
from teamops.judging.imports.known import Known
from teamops.judging.imports.lines import Line
from teamops.judging.imports.values import shorten
from teamops.rules.models import Rulebook
from teamops.teams.models import User

LONGEST = {"category": 60, "blind_number": 20, "team_number": 20, "cook": 80}

Key = tuple[int, str, str, str]


class Boxes:
    """The boxes of one table, as its rows name them. `marked` are the criteria it has, plain."""

    def __init__(
        self, columns: Columns, known: Known, asking: Asking, marked: Collection[str] = ()
    ) -> None:
        self.columns, self.known, self.asking = columns, known, asking
        self.at = {one.code: index for index, one in enumerate(columns.columns)}
        self.marked = tuple(marked)
        self.drafts: dict[Key, EntryDraft | None] = {}

    def of(self, line: Line, contest: ContestDraft) -> EntryDraft | None:
        """The box of a row; None where it cannot be told, which is said or asked."""
        said = {}
        for code, longest in LONGEST.items():
            try:
                said[code] = shorten(line.said.get(code, ""), longest)
            except Unread as unread:
                self.asking.wrong(line.number, self.at[code], line.said[code], str(unread))
                return None
        category = said["category"] or self._category(contest)
        if not category:
            self.asking.wrong(line.number, self.at.get("category", -1), "nothing", "a category")
            return None
        cook, guest = self._cook(said["cook"])
        number = said["blind_number"].lstrip("#").strip()
        who = str(cook.pk) if cook else plain_name(guest)
        key = (id(contest), plain_words(category), plain_name(number), who)
        if key not in self.drafts:
            draft = EntryDraft(contest, category, blind_number=number, cook=cook, guest_cook=guest)
            self.drafts[key] = self._found(line, contest, draft)
        found = self.drafts[key]
        if found is None:
            self.asking.wrong(line.number, self.at.get("category", -1), category,
                              "that you choose above which box this is")  # fmt: skip
            return None
        found.team_number = found.team_number or said["team_number"]
        return found if self._judged_by(line, found) else None

    def _category(self, contest: ContestDraft) -> str:
        """What is cooked, where the row does not say: the contest's only box, or as chosen."""
        stored = self.known.entries.get(contest.stored.pk, []) if contest.stored else []
        names = {one.category.name for one in stored}
        if len(names) == 1:
            return names.pop()
        options = category_options(row.name for row in self.known.categories.values())
        return self.asking.ask("category", "Which category are these boxes?", options,
                               options[0][0])  # fmt: skip

    def _cook(self, text: str) -> tuple[User | None, str]:
        """The cook of record where it is one of the team, else the name of a guest."""
        if not text:
            return None, ""
        plain = plain_name(text)
        people = self.known.people
        for same in (
            [one for one in people if one.email.casefold() == text.casefold()],
            [one for one in people if plain_name(one.name) == plain],
            [one for one in people if plain_name(one.name).split(" ")[0] == plain],
        ):
            if len(same) == 1:
                return same[0], ""
        return None, text

    def _found(self, line: Line, contest: ContestDraft, draft: EntryDraft) -> EntryDraft | None:
        """The draft of the same box, or a new one of a stored box, or of one to be made."""
        same = [one for one in contest.entries if _may_be(one, draft)]
        if len(same) == 1:
            one = same[0]
            one.blind_number = one.blind_number or draft.blind_number
            if not one.cook and not one.guest_cook:
                one.cook, one.guest_cook = draft.cook, draft.guest_cook
            return one
        stored = self.known.entries.get(contest.stored.pk, []) if contest.stored else []
        taken = {one.stored.pk for one in contest.entries if one.stored}
        fitting = [one for one in stored if one.pk not in taken and _fits(one, draft)]
        exact = [one for one in fitting if _is(one, draft)]
        fitting = exact if len(exact) == 1 else fitting
        if len(fitting) > 1:
            key = f"box:{contest.name}:{contest.held_on}:{draft.category}:{draft.blind_number}"
            label = f"Which of your boxes of {draft.category} at {contest.name} is it?"
            chosen = self.asking.ask(key, label, [(str(o.pk), _box_words(o)) for o in fitting])
            fitting = [one for one in fitting if str(one.pk) == chosen]
            if not fitting:
                return None
        if fitting:
            draft.stored = fitting[0]
            draft.category = fitting[0].category.name
            draft.rulebook = self.known.rulebooks[fitting[0].rulebook_id]
        else:
            known = self.known.categories.get(plain_words(draft.category))
            draft.category = known.name if known else draft.category
        contest.entries.append(draft)
        return draft

    def _judged_by(self, line: Line, draft: EntryDraft) -> bool:
        """See to the rulebook of a box; whether it is known."""
        text = line.said.get("rulebook", "")
        named = self._named(text) if text else None
        if text and named is None:
            names = list_words([str(book) for book in self.known.offered()]) or "a rulebook"
            self.asking.wrong(line.number, self.at["rulebook"], text, f"one of {names}")
            return False
        if draft.stored is not None:
            if named is not None and named != draft.rulebook:
                self.asking.note(line.number, f"The box stays under {draft.rulebook}.")
            return True
        if named is not None and draft.rulebook not in (None, named):
            self.asking.wrong(line.number, self.at["rulebook"], text,
                              f"{draft.rulebook}, as above for this box")  # fmt: skip
            return False
        draft.rulebook = draft.rulebook or named or self._asked(draft.category)
        if draft.rulebook is None:
            self.asking.wrong(line.number, self.at.get("rulebook", -1), "nothing",
                              "that you choose above by which rulebook it was judged")  # fmt: skip
        return draft.rulebook is not None

    def _named(self, text: str) -> Rulebook | None:
        plain = plain_name(text)
        offered = self.known.offered()
        whole = [book for book in offered if plain_name(str(book)) == plain]
        bare = [book for book in offered if plain_name(book.name) == plain]
        for same in (whole, [book for book in bare if book.team_id], bare):
            if same:  # of several editions the newest, of ours before a shared one
                return same[-1]
        return None

    def _asked(self, category: str) -> Rulebook | None:
        """By which rulebook the boxes of a category that are made were judged, as chosen."""
        offered = self.known.offered()
        options = [(str(book.pk), str(book)) for book in offered]
        label = f"By which rulebook are the new boxes of {category} judged?"
        suggested = self._suggested(category, offered)
        key = f"rulebook:{plain_words(category)}"
        chosen = self.asking.ask(key, label, options, str(suggested.pk) if suggested else "")
        return next((book for book in offered if str(book.pk) == chosen), None)

    def _suggested(self, category: str, offered: Sequence[Rulebook]) -> Rulebook | None:
        """The book that has the table's criteria, then the one this category was judged by last."""
        plain = plain_words(category)
        used = [one.rulebook_id for own in self.known.entries.values() for one in own
                if plain_words(one.category.name) == plain]  # fmt: skip

        def fit(book: Rulebook) -> tuple[int, int, int, bool, bool]:
            names = self.known.criteria[book.pk]
            hits = [criterion_of(name, names) for name in self.marked]
            found = len(set(filter(None, hits)))
            missed = sum(not hit for hit in hits)
            lacking = len(names) - found if self.marked else 0
            return (-missed, -lacking, used.count(book.pk), book.team_id is not None,
                    book.name == "Open Slate")  # fmt: skip

        best = max(offered, key=fit, default=None)
        if best is None or (self.marked and -fit(best)[0] == len(self.marked)):
            return None
        return best


def _agree(one: str, other: str) -> bool:
    return not one or not other or plain_name(one) == plain_name(other)


def _who(draft: EntryDraft) -> str:
    return str(draft.cook.pk) if draft.cook else draft.guest_cook


def _may_be(one: EntryDraft, draft: EntryDraft) -> bool:
    """Whether two drafts can be the same box: neither number nor cook speaks against it."""
    if plain_words(one.category) != plain_words(draft.category):
        return False
    number, who = one.blind_number, _who(one)
    if one.stored is not None:
        number = number or one.stored.blind_number
    return _agree(number, draft.blind_number) and _agree(who, _who(draft))


def _fits(stored: Entry, draft: EntryDraft) -> bool:
    if plain_words(stored.category.name) != plain_words(draft.category):
        return False
    numbers = [stored.blind_number, stored.team_number]
    numbered = (
        not draft.blind_number
        or not any(numbers)
        or any(number and _agree(number, draft.blind_number) for number in numbers)
    )
    who = str(stored.cook_of_record_id or "") or stored.guest_cook
    return numbered and _agree(who, _who(draft))


def _is(stored: Entry, draft: EntryDraft) -> bool:
    """Whether a stored box has the very number or cook of the draft."""
    number = draft.blind_number and draft.blind_number in (stored.blind_number, stored.team_number)
    who = str(stored.cook_of_record_id or "") or stored.guest_cook
    return bool(number) or (bool(_who(draft)) and plain_name(who) == plain_name(_who(draft)))


def _box_words(entry: Entry) -> str:
    number = entry.blind_number or entry.team_number
    return f"{entry.category}, number {number}" if number else f"{entry.category}, no number"
