"""Whether a change did anything: told from contests, no more than they can tell."""

from datetime import timedelta
from decimal import Decimal
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from django.test import override_settings
from django.urls import reverse

from teamops.calc.effects import change_effect
from teamops.contests.models import Entry
from teamops.insight.pictures.changes import change_picture
from teamops.insight.queries.changes_averages import scales_of
from teamops.insight.queries.changes_picture import EffectPicture, Interval
from teamops.judging.models import Change, ChangeUse, Mark
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.judging import ChangeFactory, PostingFactory, scored_entry
from tests.factories.rules import RulebookFactory
from tests.factories.teams import MembershipFactory
from tests.insight.conftest import TODAY
from tests.insight.pages import text_of

SVG = "{http://www.w3.org/2000/svg}"
LATE = TODAY - timedelta(weeks=4)  # of eight contests, a week apart, the last four are on


@pytest.fixture
def brine(team) -> Change:
    return ChangeFactory(team=team, what="Dry brine", starts_on=LATE)


@pytest.fixture
def cook(cook_contest):
    """Cook contests in turn, the first the longest ago: a mean mark each, or a mark a criterion."""

    def cook(*means: float | tuple[float, ...], **more) -> list[Entry]:
        count = len(means)
        every = [mean if isinstance(mean, tuple) else (mean,) * 5 for mean in means]
        return [
            cook_contest(*marks, weeks=count - place, judges=3, **more)
            for place, marks in enumerate(every)
        ]

    return cook


@pytest.fixture
def board(open_page):
    """What the page of a change shows, from its answer."""

    def board(change: Change, query: str = ""):
        answer = open_page("show_change", change.pk, query=query)
        assert answer.status_code == 200
        return answer.context["board"]

    return board


UP = (8, 8.5, 8, 8.5, 9, 9.5, 9, 9.5)
SWINGING = (8, 9, 8.5, 9.5, 9, 8, 9.5, 8.5)


# What is told


def test_a_large_change_is_clear_and_said_first(brine, cook, board):
    cook(*UP)
    told = board(brine)
    assert told.sentences[0].startswith("The whole box is up 1.0: clear, more than luck (8 in 10 ")
    assert (told.verdict, told.look) == ("clear: up 1.0", "ok")
    assert told.span == "4 contests without it, 4 with it, 24 sheets"
    whole = told.rows[0]
    assert (whole.without, whole.with_it, whole.change) == ("8.25", "9.25", "+1.00")
    assert whole.verdict == "clear"
    assert told.settled


def test_swings_alone_are_not_called_a_change(brine, cook, board):
    cook(*SWINGING)
    told = board(brine)
    assert told.verdict == "can’t tell yet"
    assert told.sentences[0].startswith(
        "The whole box is unchanged; swings from contest to contest"
    )
    assert {row.verdict for row in told.rows} == {"can’t tell"}
    assert not told.settled
    assert told.needed[0].startswith("If it is really worth 0.5 marks, about ")
    assert told.needed[1].startswith("If it is really worth 1.0 marks, ")


def test_two_against_two_lean_at_most_and_say_how_luck_splits(team, cook, board):
    cook(8, 8, 9.5, 9.5)
    change = ChangeFactory(team=team, starts_on=TODAY - timedelta(weeks=2))
    told = board(change)
    assert told.verdict == "leaning up"
    assert told.sentences[-1] == (
        "With two without and two with it, even a perfect split comes about by luck one time in "
        "six."
    )
    assert told.needed[0] == (
        "Before anything can be called clear it takes one more with it and one more without it."
    )


def test_one_contest_on_a_side_gives_both_averages_and_no_more(team, cook, board):
    cook(8, 8.5, 9)
    told = board(ChangeFactory(team=team, starts_on=TODAY - timedelta(weeks=1)))
    assert told.sentences == (
        "No comparison yet: one contest on a side cannot be told from luck.",
        "Before anything can be compared it takes one more with it.",
    )
    assert (told.rows[0].without, told.rows[0].with_it) == ("8.25", "9.00")
    assert not any(row.verdict or row.change for row in told.rows)
    assert told.picture is None
    assert told.guesses == ()


def test_a_single_criterion_is_named_where_it_is_clear(brine, cook, board):
    low, high = [(9, 8 - d, 8.5, 9 + d, 8) for d in (0, 0.5)], [(9, 10 - d, 8.5, 9 + d, 8) for d
                                                                in (0, 0.5)]  # fmt: skip
    cook(*low, *low, *high, *high)
    told = board(brine)
    assert told.verdict.startswith("clear: ")
    assert any(x.startswith("Doneness is up 2.0: clear") for x in told.sentences)


def test_the_best_guess_stands_apart_and_is_drawn_in(brine, cook, board):
    cook(*SWINGING[:4], 9, 9, 9.5, 9)
    told = board(brine)
    assert told.guesses[0].startswith("Our best guess from eight contests, drawn toward no change")
    assert told.guesses[1].startswith("By criterion: appearance up ")
    assert told.guesses[2].startswith("At a full table that is about ")
    assert not any("guess" in sentence for sentence in told.sentences)


def test_the_page_says_the_same_as_the_sheets_themselves(brine, cook, board, rulebook):
    """From the stored averages, and from every single mark."""
    rng = np.random.default_rng(4)
    entries = cook(*(tuple(rng.integers(12, 20, 5) / 2) for _ in range(8)))
    scored_entry(
        EntryFactory(contest=entries[5].contest, category=entries[5].category, rulebook=rulebook),
        [[7, 8, 9, 10, 6]] * 2,
    )
    tables = []
    for entry in entries:
        marks = Mark.objects.filter(sheet__entry__contest=entry.contest)
        rows = marks.order_by("sheet", "criterion__order").values_list("points", flat=True)
        tables.append(np.array(rows, dtype=float).reshape(-1, 5))
    assert len(tables[5]) == 5
    raw = change_effect(tables, [False] * 4 + [True] * 4, scales_of(rulebook.criteria.all()))
    told = board(brine).effect
    for one, other in zip((raw.overall, *raw.lines), (told.overall, *told.lines), strict=True):
        numbers = (other.change, other.error, other.df)
        assert (one.change, one.error, one.df) == pytest.approx(numbers, rel=1e-5)
    assert told.crowded == raw.crowded


def test_a_crowded_scale_is_said(brine, cook, board):
    cook(*[(10, 8 + d, 8, 8, 8) for d in (0, 0.5) * 4])
    (said,) = [x for x in board(brine).cautions if "at the top" in x]
    assert "marks for appearance" in said


def test_a_change_that_came_once_is_mixed_with_the_season(brine, cook, board):
    cook(*SWINGING)
    assert any(
        x.startswith("Over these contests it came once and stayed, so season")
        for x in board(brine).cautions
    )


# Which contests


def test_what_is_said_of_a_contest_goes_over_the_days(brine, cook, board):
    entries = cook(*UP)
    for entry, on in ((entries[0], True), (entries[7], False)):
        ChangeUse.objects.create(change=brine, contest=entry.contest, on=on)
    told = board(brine)
    assert [side.title for side in told.sides] == ["With it", "Without it"]
    assert "Contest 8 weeks ago" in told.sides[0].rows
    assert "Contest 1 weeks ago" in told.sides[1].rows
    assert told.effect.overall.with_it == pytest.approx((8 + 9 + 9.5 + 9) / 4)


def test_a_contest_can_be_left_out(brine, cook, board):
    entries = cook(*UP)
    told = board(brine, f"out={entries[0].contest.pk}")
    assert told.span.startswith("3 contests without it, 4 with it")
    assert "checked" in told.sides[1].rows


def test_boxes_without_marks_disqualified_or_of_another_category_are_not_compared(
    brine, cook, cook_contest, board
):
    cook(*UP)
    cook_contest(2, 2, 2, 2, 2, weeks=1, name="Out", disqualified=True)
    cook_contest(2, 2, 2, 2, 2, weeks=1, name="Wings", category="Chicken")
    cook_contest(weeks=1, name="Total only", table=[], official_total=Decimal(200))
    cook_contest(2, 2, 2, 2, 2, weeks=1, name="At home", kind="practice")
    told = board(brine)
    assert told.count == 8
    assert told.rows[0].change == "+1.00"


def test_a_change_of_one_category_is_compared_in_that(team, cook, cook_contest, open_page, board):
    cook(*UP)
    for weeks in (4, 3, 2, 1):
        cook_contest(7, 7, 7, 7, 7, weeks=weeks, category="Chicken", name=f"Wings {weeks}")
    chicken = CategoryFactory(team=team, name="Chicken")
    change = ChangeFactory(team=team, category=chicken, starts_on=TODAY - timedelta(weeks=2))
    assert board(change).count == 4
    ribeye = CategoryFactory(team=team, name="Ribeye")
    answer = open_page("show_change", change.pk, query=f"category={ribeye.pk}")
    assert answer.status_code == 422


def test_a_change_whose_category_has_no_marks_says_what_to_do(team, cook, open_page):
    cook(*UP)
    change = ChangeFactory(team=team, category=CategoryFactory(team=team, name="Pie"))
    assert "has every judge’s marks yet" in text_of(open_page("show_change", change.pk))


def test_one_cooks_boxes_alone(team, brine, cook, board):
    entries = cook(*UP)
    cooks = [MembershipFactory(team=team).user for _ in range(2)]
    for place, entry in enumerate(entries):
        entry.cook_of_record = cooks[place % 2]
        entry.save()
    told = board(brine, f"cook={cooks[0].pk}")
    assert told.span.startswith("2 contests without it, 2 with it")
    assert told.rows[0].without == "8.00"


def test_criteria_without_a_scale_are_not_compared(brine, cook, board, rulebook):
    cook(*UP)
    taste = rulebook.criteria.get(name="Taste")
    taste.most = None
    taste.save()
    told = board(brine)
    assert len(told.effect.lines) == 4
    assert "the highest mark for taste, so that is not compared." in told.notes[0]
    assert not any("full table" in one for one in told.guesses)


def test_scales_that_differ_are_told_in_percent(brine, cook_contest, board, rulebook):
    wide = rulebook.criteria.get(name="Taste")
    wide.least, wide.most = Decimal(0), Decimal(20)
    wide.save()
    for place, mark in enumerate(UP):
        cook_contest(mark, mark, 2 * mark, mark, mark, weeks=8 - place, judges=3)
    told = board(brine)
    assert told.rows[0].change.endswith(" %")
    assert told.picture.unit == "% of the scale"
    assert told.needed == () or "% of the scale" in told.needed[-1]


# Other changes


def test_two_changes_at_the_same_contests_are_credited_to_neither(team, brine, cook, board):
    cook(*UP)
    ChangeFactory(team=team, what="New grate", starts_on=LATE)
    told = board(brine)
    (said,) = told.sentences
    assert said == (
        "“Dry brine” and “New grate” changed at the same contests, so the scores cannot tell which "
        "did what: credited to neither."
    )
    assert told.verdict == "cannot be told apart"
    assert not any(row.verdict for row in told.rows)
    assert told.picture is None
    assert told.guesses == told.needed == ()


def test_a_change_of_another_category_takes_no_credit_away(team, brine, cook, board):
    cook(*UP)
    wings = CategoryFactory(team=team, name="Chicken")
    ChangeFactory(team=team, what="New fryer", starts_on=LATE, category=wings)
    assert board(brine).verdict == "clear: up 1.0"


def test_one_contest_told_otherwise_takes_two_changes_apart_but_not_far(team, brine, cook, board):
    entries = cook(*UP)
    grate = ChangeFactory(team=team, what="New grate", starts_on=LATE)
    ChangeUse.objects.create(change=grate, contest=entries[0].contest, on=True)
    told = board(brine)
    assert told.verdict == "clear: up 1.0, but something else changed too"
    assert told.look == "due"
    assert any("a part of the difference may be due to it" in x for x in told.cautions)


def test_a_season_over_which_it_stands_alone_is_pointed_out(team, cook_contest, open_page, board):
    for place, mark in enumerate((8, 8.5, 8, 8.5, 9, 9.5)):
        cook_contest(*[mark] * 5, weeks=75 - place, judges=2, name=f"Last year {place}")
    for place, mark in enumerate((9, 9.5, 9.5, 9)):
        cook_contest(*[mark] * 5, weeks=4 - place, judges=2, name=f"This year {place}")
    ChangeFactory(team=team, what="Grate", starts_on=TODAY - timedelta(weeks=20))
    brine = ChangeFactory(team=team, starts_on=TODAY - timedelta(weeks=3, days=3))
    entries = Entry.objects.filter(contest__name__in=["This year 3", "This year 2"])
    for entry in entries:
        ChangeUse.objects.create(change=brine, contest=entry.contest, on=False)
    ChangeUse.objects.create(
        change=brine, contest=Entry.objects.get(contest__name="This year 0").contest, on=True
    )
    told = board(brine)
    ((year, query),) = told.apart
    assert year == 2027
    alone = board(brine, query)
    assert alone.span.startswith("2 contests without it, 2 with it")
    assert alone.apart == ()


# Against the field


def field_of(entry: Entry, ours: float, *others: float, tables: str = "", **more) -> None:
    """A posted list: our total among the others', each at a table named by its letter."""
    at = tables or "A" * (len(others) + 1)
    rows = [(None, "us", ours, {"entry": entry, "table": at[0]})]
    rows += [
        (None, f"Team {n}", total, {"table": table})
        for n, (total, table) in enumerate(zip(others, at[1:], strict=True))
    ]
    PostingFactory(contest=entry.contest, category=entry.category, rows=rows, **more)


def test_our_total_less_the_fields_median_is_the_cheaper_evidence(brine, cook, board):
    """Kind and hard judges move everybody by 20 points; we went from 5 under to 5 above."""
    for place, entry in enumerate(cook(*SWINGING)):
        kind, more = 20 * (place % 2), (5 if place >= 4 else -5) + place % 2
        middle = 100 + kind
        field_of(entry, middle + more, middle - 8, middle, middle + 9, tables="ABBB")
    told = board(brine).field
    assert told.rows[0].change == "+10.0"
    assert told.rows[0].verdict == "clear"
    assert told.sentences[0].startswith("Our total less the middle of the field is up 10.0: clear")
    assert told.notes == ("In points, from four contests without it and four contests with it.",)


def test_our_own_table_comes_before_the_field(brine, cook, board):
    for entry in cook(*SWINGING):
        field_of(entry, 110, 100, 101, 102, 180, 181, 182, 183, tables="AAAABBBB")
    told = board(brine).field
    assert told.rows[0].without == told.rows[0].with_it == "9.0"
    assert told.notes[1] == (
        "Compared with the other boxes of our own table everywhere: they had the same judges."
    )


def test_the_newest_list_holds_and_a_short_or_disqualified_field_says_nothing(brine, cook, board):
    entries = cook(*SWINGING)
    for entry in entries:
        field_of(entry, 100, 90, 90, 90, posted_on=TODAY - timedelta(days=80))
        field_of(entry, 100, 98, 98, 98, posted_on=TODAY)
    assert board(brine).field.rows[0].without == "2.0"
    for entry in entries:
        field_of(entry, 100, 90, 91, posted_on=TODAY + timedelta(days=1))
    assert board(brine).field is None


def test_contests_that_gave_only_a_total_count_against_the_field(brine, cook, cook_contest, board):
    for entry in cook(*SWINGING):
        field_of(entry, 100, 90, 91, 92)
    bare = cook_contest(weeks=2, name="Total only", table=[], official_total=Decimal(95))
    PostingFactory(
        contest=bare.contest,
        category=bare.category,
        rows=[(None, f"Team {n}", 90 + n) for n in range(3)],
    )
    assert "five contests with it" in board(brine).field.notes[0]


# What would tell more


def test_a_plan_is_suggested_kept_by_one_press_and_then_stands(
    team, brine, cook, board, signed_in, open_page
):
    cook(*SWINGING)
    coming = [
        ContestFactory(team=team, held_on=TODAY + timedelta(weeks=n), state="accepted")
        for n in (1, 2, 3, 4)
    ]
    plan = board(brine).plan
    assert [row.pk for row in plan.suggested] == [contest.pk for contest in coming]
    assert plan == board(brine).plan
    for first, second in (plan.rows[:2], plan.rows[2:]):
        assert first.on is not second.on
    page = open_page("show_change", brine.pk)
    assert "Keep this plan" in page.text
    pressed = {way: [row.pk for row in plan.rows if row.on is on] for way, on in ON.items()}
    url = reverse("judging:plan_change", args=[team.slug, brine.pk])
    signed_in.post(url, pressed | {"seen": page.context["board"].seen})
    kept = board(brine).plan
    assert [row.on for row in kept.kept] == [row.on for row in plan.rows]
    assert kept.suggested == ()
    listed = text_of(open_page("show_changes"))
    assert "Planned for the next contests" in listed
    assert "with “Dry brine”" in listed
    assert "without “Dry brine”" in listed


ON = {"on": True, "off": False}


def test_a_plan_leaves_out_contests_without_the_category(team, brine, cook, board):
    cook(*SWINGING)
    pie = ContestFactory(team=team, held_on=TODAY, state="accepted")
    EntryFactory(contest=pie, category=CategoryFactory(team=team, name="Pie"))
    ContestFactory(team=team, held_on=TODAY, kind="practice")
    ContestFactory(team=team, held_on=TODAY, state="withdrawn")
    assert board(brine).plan.rows == ()


def test_what_is_clear_needs_no_plan_and_a_reader_presses_nothing(
    team, brine, cook, open_page, client, reader
):
    cook(*UP)
    ContestFactory(team=team, held_on=TODAY + timedelta(weeks=1), state="accepted")
    page = text_of(open_page("show_change", brine.pk))
    assert "A plan for the coming contests" not in page
    assert "Nothing more is needed for the whole box." in page
    client.force_login(reader.user)
    page = text_of(client.get(reverse("insight:show_change", args=[team.slug, brine.pk])))
    assert "Correct it" not in page
    assert "Keep this plan" not in page


# The list


def test_an_empty_list_says_what_to_do(open_page):
    page = text_of(open_page("show_changes"))
    assert "Nothing is written down yet." in page
    assert "Write down a change" in page


def test_changes_are_listed_latest_first_and_only_ours(team, open_page):
    ChangeFactory(team=team, what="Old salt", starts_on="2025-03-01", ends_on="2025-04-01")
    ChangeFactory(team=team, what="New rub", starts_on="2025-05-01", note="A pinch")
    ChangeFactory(what="Theirs")
    page = text_of(open_page("show_changes"))
    assert page.index("New rub") < page.index("Old salt")
    assert "Theirs" not in page
    assert "from 1 May 2025, still so" in page
    assert "from 1 March 2025 until 1 April 2025" in page


def test_the_list_says_of_each_what_its_page_says(team, brine, cook, open_page, board):
    cook(*UP)
    same = ChangeFactory(team=team, what="Never on", starts_on=TODAY + timedelta(weeks=9))
    timer = ChangeFactory(team=team, what="Timer", starts_on=TODAY - timedelta(weeks=8))
    entries = Entry.objects.order_by("contest__held_on")
    for place in (1, 3, 5, 7):
        ChangeUse.objects.create(change=timer, contest=entries[place].contest, on=False)
    rows = {row.pk: row for row in open_page("show_changes").context["changes"].rows}
    for change in (brine, same, timer):
        told = board(change)
        assert (rows[change.pk].verdict, rows[change.pk].look) == (told.verdict, told.look)
    assert rows[brine.pk].verdict == "clear: up 1.0"
    assert rows[brine.pk].told_from == "Ribeye: 4 contests with it, 4 without"
    assert rows[same.pk].verdict == "no comparison yet"
    assert "Two changes are compared here. If none of them did" in text_of(
        open_page("show_changes")
    )


@pytest.mark.parametrize(("changes", "contests"), [(1, 2), (20, 6)])
def test_the_list_takes_as_many_queries_for_one_as_for_twenty(
    team, cook, open_page, changes, contests, django_assert_num_queries
):
    cook(*[8, 9] * (contests // 2))
    ChangeFactory.create_batch(changes, team=team, starts_on=TODAY - timedelta(weeks=1))
    with django_assert_num_queries(14):  # three of them sign in
        open_page("show_changes")


@pytest.mark.parametrize("contests", [4, 10])
def test_the_page_takes_as_many_queries_however_many_contests(
    team, brine, cook, open_page, contests, django_assert_num_queries
):
    for entry in cook(*[8, 9] * (contests // 2)):
        field_of(entry, 100, 90, 91, 92)
    ContestFactory.create_batch(
        contests, team=team, held_on=TODAY + timedelta(weeks=1), state="accepted"
    )
    with django_assert_num_queries(23):  # three of them sign in
        open_page("show_change", brine.pk)


@pytest.mark.parametrize("name", ["show_change", "draw_change"])
def test_nobody_elses_change(open_page, name):
    more = ["x"] if name == "draw_change" else []
    assert open_page(name, ChangeFactory().pk, *more).status_code == 404


def test_a_bad_choice_is_said(brine, cook, open_page):
    cook(*UP)
    answer = open_page("show_change", brine.pk, query="since=soon")
    assert answer.status_code == 422
    assert "told" not in answer.context


# Kept


@override_settings(KEEPS_PAGES=True)
def test_a_kept_page_shows_at_once_what_is_pressed(team, brine, cook, open_page, signed_in, reader):
    entries = cook(*UP)
    ContestFactory(team=team, held_on=TODAY, state="accepted")
    before = text_of(open_page("show_change", brine.pk)).partition("<main")[2]
    assert "4 contests without it, 4 with it" in before
    data = {"what": "Dry brine", "starts_on": brine.starts_on.isoformat()}
    url = reverse("judging:change_change", args=[team.slug, brine.pk])
    signed_in.post(url, data | {f"use_{entries[0].contest.pk.hex}": "on"})
    assert "3 contests without it, 5 with it" in text_of(open_page("show_change", brine.pk))
    signed_in.force_login(reader.user)
    assert "Keep this plan" not in text_of(open_page("show_change", brine.pk))


# The picture


def picture_of(*rows: Interval) -> EffectPicture:
    return EffectPicture("marks", rows or (Interval("Taste", 0.4, (0.1, 0.7), (-0.2, 1.0)),))


def test_the_picture_says_in_itself_what_it_shows():
    svg = change_picture(picture_of(), "light")
    words = {text.text for text in ET.fromstring(svg).iter(f"{SVG}text")}
    assert {"Taste", "no change", "marks", "← lower", "higher →"} <= words
    assert "dot: difference · thick: 80 % range · thin: 95 % range" in words
    assert svg == change_picture(picture_of(), "light")
    assert svg != change_picture(picture_of(), "dark")


def test_its_words_say_the_same_to_the_ear():
    assert picture_of().words == (
        "With the change less without it, in marks. Taste +0.4, 80 % range +0.1 to +0.7, 95 % "
        "range -0.2 to +1.0."
    )


@pytest.mark.parametrize("far", [0.0, 1e-9, 50.0])
def test_any_difference_can_be_drawn(far):
    row = Interval("x" * 60, far, (far, far), (-far, far))
    assert change_picture(picture_of(row, row), "dark").lstrip().startswith("<?xml")


def test_the_picture_has_its_own_address_and_is_kept_by_content(brine, cook, open_page, signed_in):
    cook(*UP)
    address = open_page("show_change", brine.pk).context["light"]
    first = signed_in.get(address)
    assert first["Content-Type"] == "image/svg+xml"
    assert "immutable" in first["Cache-Control"]
    assert "Doneness" in first.text
    again = signed_in.get(address, headers={"If-None-Match": first["ETag"]})
    assert again.status_code == 304
    assert open_page("draw_change", brine.pk, "old")["Cache-Control"] == "private, no-cache"


def test_nothing_to_compare_has_no_picture(brine, cook, open_page):
    assert open_page("draw_change", brine.pk, "x").status_code == 204
    cook(8)
    assert open_page("draw_change", brine.pk, "x").status_code == 204


# On the ledger


def test_the_ledger_names_a_change_of_its_category_as_its_contests_say(
    team, brine, cook, open_page
):
    entries = cook(*SWINGING)
    ChangeFactory(
        team=team, what="New fryer", starts_on=LATE,
        category=CategoryFactory(team=team, name="Chicken"),
    )  # fmt: skip
    words = open_page("show_ledger").context["board"].pictures[0].words
    assert "“Dry brine” from after Contest 5 weeks ago." in words
    assert "fryer" not in words
    for place in (0, 2):
        ChangeUse.objects.create(change=brine, contest=entries[place].contest, on=True)
    words = open_page("show_ledger").context["board"].pictures[0].words
    assert "“on and off from here: Dry brine” from after Contest 8 weeks ago." in words


def test_another_rulebook_is_another_comparison(team, brine, cook, cook_contest, board):
    cook(*UP)
    other = RulebookFactory(name="Other book")
    for weeks in (1, 2):
        cook_contest(2, 2, 2, 2, 2, weeks=weeks, rulebook=other, name=f"Other {weeks}")
    assert board(brine).count == 8
    assert board(brine, f"rulebook={other.pk}").count == 2
