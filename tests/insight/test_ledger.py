"""The points ledger of a category: exact where it can be, unsure where it must be."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from teamops.calc.scoring import exact_sum
from teamops.insight.links import Links
from teamops.insight.queries import category_ledger, ledger_choices
from teamops.insight.queries.ledger import full_table
from teamops.insight.queries.past import past_contests
from teamops.judging.models import CriterionResult, Result
from teamops.rules.models import Rulebook
from tests.factories.contests import CategoryFactory, EntryFactory
from tests.factories.judging import ChangeFactory, scored_entry
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.insight.conftest import TODAY
from tests.insight.pages import text_of


def ledger_of(team, **chosen):
    choices = ledger_choices(team)
    form_like = choices.select(chosen.get("category"), chosen.get("rulebook"))
    assert form_like is not None
    return category_ledger(team, form_like)


def numbers(ledger) -> dict[str, float]:
    return {row.name: round(row.lost, 6) for row in ledger.rows}


def test_losses_are_averages_of_the_contests(team, cook_contest):
    """By hand: 5 judges, so a mark less is 5 points; (10 + 5 + 15) / 3 = 10 for doneness."""
    cook_contest(10, 8, 9, 10, 10, weeks=3)
    cook_contest(10, 9, 9, 10, 9, weeks=2)
    cook_contest(10, 7, 9, 10, 8, weeks=1)
    ledger = ledger_of(team)
    assert numbers(ledger) == {
        "Appearance": 0, "Doneness": 10, "Taste": 5, "Texture": 0, "Overall impression": 5,
    }  # fmt: skip
    assert (ledger.most, ledger.lost, ledger.earned) == pytest.approx((250, 20, 230))
    assert [row.mean for row in ledger.rows] == [10, 8, 9, 10, 9]
    assert ledger.span == "3 contests, 15 sheets"
    assert not ledger.notes


def test_the_ledger_is_the_average_of_the_entries_own_accounts(team, cook_contest):
    """With full tables, most - earned of the ledger is what the stored losses add up to."""
    for weeks in range(1, 6):
        cook_contest(9, 8 - weeks / 2, 9.5, 8, 7, weeks=weeks)
    results = Result.objects.for_team(team)
    lost = exact_sum(result.most - result.total for result in results) / 5
    assert ledger_of(team).lost == pytest.approx(float(lost), abs=1e-9)
    stored = CriterionResult.objects.for_team(team).filter(criterion__name="Doneness")
    assert numbers(ledger_of(team))["Doneness"] == pytest.approx(
        float(exact_sum(row.lost for row in stored) / 5)
    )


def test_a_clear_leader_is_named_from_three_contests_on(team, cook_contest):
    for weeks in (1, 2, 3):
        cook_contest(10, 6, 9.5, 10, 9.5, weeks=weeks)
    ledger = ledger_of(team)
    assert ledger.sentence.startswith("Doneness cost most: 20.0 of the 25.0 points lost a contest.")
    assert [row.name for row in ledger.rows if row.worst] == ["Doneness"]
    doneness = ledger.rows[1]
    assert doneness.low <= 20 <= doneness.high
    assert doneness.percent >= 80
    assert sum(row.chance for row in ledger.rows) == pytest.approx(1)


def test_two_contests_rank_nothing(team, cook_contest):
    for weeks in (1, 2):
        cook_contest(10, 6, 10, 10, 10, weeks=weeks)
    ledger = ledger_of(team)
    assert "too few to say which criterion usually costs most" in ledger.sentence
    assert numbers(ledger)["Doneness"] == 20
    assert not any(row.worst or row.low or row.chance for row in ledger.rows)


def test_alike_criteria_name_none(team, cook_contest):
    """Whoever is worst changes from contest to contest."""
    for weeks, marks in enumerate(([8, 9, 9, 9, 9], [9, 8, 9, 9, 9], [9, 9, 8, 9, 9]), 1):
        cook_contest(*marks, weeks=weeks)
    ledger = ledger_of(team)
    assert ledger.sentence.startswith("No criterion stands out for sure after three contests")
    assert not any(row.worst for row in ledger.rows)


def test_the_same_sheets_always_give_the_same_ranges(team, cook_contest):
    for weeks in (1, 2, 3, 4):
        cook_contest(9, 8, 9 - weeks / 2, 10, 8, weeks=weeks)
    first, second = (
        [(row.low, row.high, row.chance) for row in ledger_of(team).rows] for _ in range(2)
    )
    assert first == second


def test_two_boxes_of_a_contest_count_as_one_day(team, cook_contest):
    """One box lost 25 points in doneness, the other none: the day lost 12.5, like any day."""
    entry = cook_contest(10, 5, 10, 10, 10, weeks=1)
    cook_contest(10, 10, 10, 10, 10, contest=entry.contest)
    cook_contest(10, 10, 10, 10, 10, weeks=2)
    ledger = ledger_of(team)
    assert ledger.contests == 2
    assert ledger.sheets == 15
    assert numbers(ledger)["Doneness"] == 6.25
    assert "One contest with two boxes or more: they are averaged and count once." in ledger.notes


def test_a_table_short_of_a_judge_is_scaled_to_a_full_one(team, cook_contest):
    """Four judges lost 8 points of 40; a full table of five would have lost 10 of 50."""
    cook_contest(10, 8, 10, 10, 10, weeks=1, judges=4)
    ledger = ledger_of(team)
    assert numbers(ledger)["Doneness"] == 10
    assert ledger.notes == ("One table was not a full one; losses are scaled to a full table.",)


def test_the_likely_range_holds_the_average_under_a_drop_rule(team, cook_contest):
    """Losses are those of the sheets that count, so table and range speak of the same thing."""
    book = RulebookFactory(
        sheets_expected=6, drop_scope="sheet", drop_low=1, missing_sheet="average_remaining"
    )
    table = [[9, 8, 9, 9, 9]] * 5 + [[1, 1, 1, 1, 1]]
    for weeks in range(1, 9):
        cook_contest(weeks=weeks, rulebook=book, table=table)
    ledger = ledger_of(team)
    assert numbers(ledger)["Doneness"] == pytest.approx(10)
    for row in ledger.rows:
        assert row.low <= row.lost <= row.high, row


def test_points_taken_off_for_lateness_stand_in_every_ledger(team, cook_contest, open_page, today):
    """Six points at one contest of three: two a contest, named in the whole ledger and in small."""
    for weeks in (2, 3):
        cook_contest(10, 8, 10, 10, 10, weeks=weeks)
    late = EntryFactory(
        contest__team=team, contest__past=True, contest__held_on=TODAY - timedelta(weeks=1),
        category=team.categories.get(), rulebook=Rulebook.objects.get(name="Open Slate"),
        late="docked", late_points=6,
    )  # fmt: skip
    scored_entry(late, [[10, 8, 10, 10, 10]] * 5)
    ledger = ledger_of(team)
    assert (ledger.docked, ledger.lost, ledger.earned) == pytest.approx((2, 12, 238))
    assert [day.lost for day in ledger.days] == [10, 10, 16]
    assert ledger.sentence.startswith("Doneness cost most: 10.0 of the 12.0 points lost a contest.")
    small = past_contests(team, today, Links(team)).ledger
    assert (small.docked, small.lost) == pytest.approx((2, 12))
    for page in ("show_ledger", "show_season", ("show_entry", late.pk)):
        name, *args = [page] if isinstance(page, str) else page
        assert "Taken off for lateness" in text_of(open_page(name, *args))


def test_rulebooks_are_not_mixed(team, cook_contest):
    other = RulebookFactory(name="Another")
    cook_contest(10, 8, 10, 10, 10, weeks=3)
    cook_contest(10, 8, 10, 10, 10, weeks=2)
    cook_contest(10, 2, 10, 10, 10, weeks=1, rulebook=other)
    assert ledger_of(team).contests == 2  # the commonest one, where nobody chose
    assert numbers(ledger_of(team)) == numbers(ledger_of(team)) | {"Doneness": 10}
    assert numbers(ledger_of(team, rulebook=other.pk))["Doneness"] == 40


def test_two_boxes_under_two_rulebooks_at_one_contest_stay_apart(team, cook_contest):
    entry = cook_contest(10, 8, 10, 10, 10, weeks=1)
    other = RulebookFactory(name="Another")
    cook_contest(10, 2, 10, 10, 10, contest=entry.contest, rulebook=other)
    cook_contest(10, 8, 10, 10, 10, weeks=2)
    ledger = ledger_of(team)
    assert [day.boxes for day in ledger.days] == [1, 1]
    assert numbers(ledger)["Doneness"] == 10


def test_practice_disqualified_boxes_and_papers_without_marks_do_not_count(team, cook_contest):
    cook_contest(10, 8, 10, 10, 10, weeks=1)
    cook_contest(10, 2, 10, 10, 10, weeks=2, kind="practice")
    cook_contest(10, 2, 10, 10, 10, weeks=3, disqualified=True)
    cook_contest(weeks=4, table=[], placing=7, field_size=20)
    cook_contest(weeks=5, table=[], official_total=Decimal(200))
    ledger = ledger_of(team)
    assert numbers(ledger)["Doneness"] == 10
    reasons = {day.name: day.why_out for day in ledger.days}
    assert reasons == {
        "Contest 1 weeks ago": "",
        "Contest 3 weeks ago": "disqualified",
        "Contest 4 weeks ago": "placing only",
        "Contest 5 weeks ago": "one total only",
    }
    assert "3 contests gave no marks that can be counted here." in ledger.notes


def test_a_box_cooked_for_another_team_says_nothing_of_ours(team, cook_contest, open_page, today):
    """It stays in sight with whose it is; the whole ledger and the one in small leave it out."""
    for weeks in (1, 2, 3):
        cook_contest(10, 8, 9, 10, 10, weeks=weeks)
    theirs = cook_contest(2, 2, 2, 2, 2, weeks=4)
    theirs.cooked_for = "Bent Skewer"
    theirs.save()
    assert ledger_of(team).span == "3 contests, 15 sheets"
    for page in ("show_season", "show_scores"):
        text = text_of(open_page(page))
        assert "for Bent Skewer" in text
    assert past_contests(team, today, Links(team)).ledger.span == "3 contests, 15 sheets"


def test_losses_that_cannot_be_told_are_left_out_and_said(team, cook_contest):
    cook_contest(10, 8, 10, 10, 10, weeks=1)
    cook_contest(weeks=2, table=[[10, 8, 10, None, 10]] * 5)
    ledger = ledger_of(team)
    assert ledger.contests == 1
    assert ledger.days[0].why_out == "its points lost cannot be told"


def test_another_teams_contests_do_not_count(team, cook_contest, stranger):
    cook_contest(10, 8, 10, 10, 10, weeks=1)
    book = cook_contest(10, 8, 10, 10, 10, weeks=2).rulebook
    for _ in range(3):
        entry = EntryFactory(contest__team=stranger.team, contest__past=True, rulebook=book)
        scored_entry(entry, [[1, 1, 1, 1, 1]] * 5)
    assert ledger_of(team).contests == 2


def test_the_usual_choice_is_the_main_category_and_its_latest_season(team, cook_contest):
    for weeks in (1, 2, 60, 61, 62):
        cook_contest(10, 8, 10, 10, 10, weeks=weeks)
    for weeks in range(1, 9):
        cook_contest(10, 8, 10, 10, 10, weeks=weeks, category="Chicken")
    CategoryFactory(team=team, name="Chicken")
    team.categories.filter(name="Chicken").update(ancillary=True)
    chosen = ledger_choices(team).select()
    assert chosen.category == "Ribeye"
    assert chosen.season is None  # two contests do not stand by themselves yet
    cook_contest(10, 8, 10, 10, 10, weeks=3)
    assert ledger_choices(team).select().season == 2027


def test_a_full_table_of_two_panels(db):
    book = RulebookFactory(criteria=0, sheets_expected=4)
    CriterionFactory(rulebook=book, order=1, panel="blind", weight=Decimal(2))
    CriterionFactory(rulebook=book, order=2, panel="on site")
    assert full_table(Rulebook.objects.get(pk=book.pk)) == [80, 40]


@pytest.mark.parametrize(
    ("book", "words"),
    [
        ({"direction": "low"}, "The lowest total wins, so no points are lost."),
        (
            {"aggregate": "rank_sum"},
            "The marks are placings that are added up, so no points are lost.",
        ),
        (
            {"aggregate": "rank_sum", "direction": "low"},
            "The marks are placings that are added up, so no points are lost.",
        ),
        ({"aggregate": "closest_pair"}, "Not every mark that counts is in the total, so what each"),
    ],
)
def test_where_no_points_are_lost_the_page_says_so_and_nothing_else(
    open_page, cook_contest, today, book, words
):
    for weeks in (1, 2, 3):
        cook_contest(1, 2, 1, 3, 1, weeks=weeks, rulebook=RulebookFactory.create(**book))
    answer = open_page("show_ledger", query="season=all")
    ledger = answer.context["board"].ledger
    assert ledger.sentence.startswith(words)
    assert (ledger.rows, ledger.notes) == ((), ())
    page = text_of(answer)
    assert "A full box earns" not in page
    assert "Earned of" not in page
    assert "0 contests, 0 sheets" not in page
    assert "Judged by" in page
    assert "every judge’s marks, so nothing" not in page


def test_a_criterion_without_a_highest_mark_is_named(team, cook_contest):
    book = RulebookFactory(criteria=0)
    CriterionFactory(rulebook=book, order=1)
    CriterionFactory(rulebook=book, order=2, name="Bonus", most=None)
    for weeks in (1, 2, 3):
        cook_contest(9, 2, weeks=weeks, rulebook=book)
    assert ledger_of(team).sentence.startswith("The rulebook does not say the highest mark for bon")


@pytest.mark.parametrize(
    ("least", "most", "marks", "lost"),
    [
        (None, 10, (8, 7, 9), 10.0),  # five judges, two points each on average
        (0, 10, (8, 7, 9), 10.0),
        (None, 0, (-1, -2, 0), 5.0),  # faults are taken off: a full box has none
        (-5, 0, (-1, -2, 0), 5.0),
    ],
)
def test_a_scale_that_is_open_below_can_be_told(team, cook_contest, least, most, marks, lost):
    book = RulebookFactory(criteria=0)
    CriterionFactory(rulebook=book, order=1)
    CriterionFactory(rulebook=book, order=2, name="Faults", least=least, most=most, step=None)
    for weeks, mark in enumerate(marks, start=1):
        cook_contest(10, mark, weeks=weeks, rulebook=book)
    ledger = ledger_of(team)
    assert numbers(ledger)["Faults"] == pytest.approx(lost)
    row = ledger.rows[1]
    assert row.low < row.lost < row.high


def test_without_ranges_there_is_no_column_for_them(open_page, cook_contest, today):
    for weeks in (1, 2):
        cook_contest(10, 6, 10, 10, 10, weeks=weeks)
    page = text_of(open_page("show_ledger"))
    assert "with its likely range" not in page
    assert "The likely range holds" not in page
    assert "a likely range takes three contests" in page
    cook_contest(10, 6, 10, 10, 10, weeks=3)
    assert "with its likely range" in text_of(open_page("show_ledger"))


# The page ----------------------------------------------------------------------------------------


def test_the_page_shows_table_sentence_and_contests(open_page, cook_contest, today):
    for weeks in (1, 2, 3):
        cook_contest(10, 6, 9.5, 10, 9.5, weeks=weeks)
    answer = open_page("show_ledger")
    page = text_of(answer)
    assert answer.status_code == 200
    assert "Doneness cost most: 20.0 of the 25.0 points lost a contest." in page
    assert "Earned of 250" in page
    assert "225.00" in page
    assert page.count('name="out"') == 3
    assert page.count("<picture>") == 5
    assert page.count('loading="lazy"') == 5


def test_each_contest_leads_to_its_account_and_its_sheets(open_page, cook_contest, team, today):
    entry = cook_contest(10, 6, 9.5, 10, 9.5, weeks=1)
    page = open_page("show_ledger").content.decode()
    assert reverse("insight:show_entry", args=[team.slug, entry.pk]) in page
    assert reverse("judging:record_scores", args=[team.slug, entry.pk]) in page


def test_several_boxes_lead_to_their_contest(open_page, cook_contest, team, today):
    entry = cook_contest(10, 6, 9.5, 10, 9.5, weeks=1)
    cook_contest(10, 10, 10, 10, 10, contest=entry.contest)
    page = open_page("show_ledger").content.decode()
    assert "2 boxes" in page
    assert reverse("contests:show_contest", args=[team.slug, entry.contest.pk]) in page


def test_a_contest_can_be_left_out(open_page, cook_contest, today):
    entries = [cook_contest(10, 9 - weeks, 10, 10, 10, weeks=weeks) for weeks in (1, 2, 3)]
    answer = open_page("show_ledger", query=f"season=all&out={entries[2].contest.pk}")
    board = answer.context["board"]
    assert board.ledger.contests == 2
    assert numbers(board.ledger)["Doneness"] == 12.5  # (10 + 15) / 2, without the 20
    page = answer.content.decode()
    assert f'value="{entries[2].contest.pk}" aria-label="Leave out' in page
    assert page.count(" checked>") == 1


@pytest.mark.parametrize("out", ["nonsense", "00000000-0000-0000-0000-000000000000", "%00"])
def test_leaving_out_what_is_not_there_changes_nothing(open_page, cook_contest, today, out):
    cook_contest(10, 8, 10, 10, 10, weeks=1)
    answer = open_page("show_ledger", query=f"out={out}")
    assert answer.status_code == 200
    assert answer.context["board"].ledger.contests == 1


def test_days_go_over_the_season(open_page, cook_contest, today):
    for weeks in (1, 2, 3, 10):
        cook_contest(10, 8, 10, 10, 10, weeks=weeks)
    since = TODAY - timedelta(weeks=2)
    answer = open_page("show_ledger", query=f"season=2027&since={since}")
    assert answer.context["board"].ledger.contests == 2
    assert "since 18 May 2027" in text_of(answer)


@pytest.mark.parametrize(
    ("query", "field", "words"),
    [
        ("category=garbage", "category", "not one of the choices"),
        ("category=00000000-0000-0000-0000-000000000000", "category", "not one of the choices"),
        ("rulebook=%00", "rulebook", "not one of the choices"),
        ("season=1066", "season", "not one of the choices"),
        ("since=yesterday", "since", "Enter a valid date."),
        ("since=2027-05-02&until=2027-05-01", "until", "must not be before the first"),
    ],
)
def test_a_bad_choice_is_said_beside_the_field(open_page, cook_contest, today, query, field, words):
    cook_contest(10, 8, 10, 10, 10, weeks=1)
    answer = open_page("show_ledger", query=query)
    assert answer.status_code == 422
    assert words in answer.context["form"].errors[field][0]
    assert words in text_of(answer)


def test_another_teams_category_is_no_choice(open_page, cook_contest, stranger, today):
    cook_contest(10, 8, 10, 10, 10, weeks=1)
    theirs = CategoryFactory(team=stranger.team)
    assert open_page("show_ledger", query=f"category={theirs.pk}").status_code == 422


def test_a_rulebook_without_contests_in_the_category_gives_way(open_page, cook_contest, today):
    other = RulebookFactory(name="Another")
    ribeye = cook_contest(10, 8, 10, 10, 10, weeks=1)
    chicken = cook_contest(10, 8, 10, 10, 10, weeks=2, category="Chicken", rulebook=other)
    query = f"category={chicken.category.pk}&rulebook={ribeye.rulebook.pk}"
    answer = open_page("show_ledger", query=query)
    assert answer.context["selection"].rulebook == "Another 1"


def test_changes_between_the_contests_are_listed(open_page, cook_contest, team, today):
    for weeks in (1, 2, 3):
        cook_contest(10, 8, 10, 10, 10, weeks=weeks)
    ChangeFactory(team=team, what="Hotter grate", starts_on=TODAY - timedelta(weeks=2, days=3))
    ChangeFactory(team=team, what="Long ago", starts_on=TODAY - timedelta(weeks=20))
    ChangeFactory(team=team, what="Not yet", starts_on=TODAY + timedelta(weeks=2))
    ChangeFactory(what="Somebody else's", starts_on=TODAY - timedelta(weeks=2))
    changes = open_page("show_ledger").context["board"].changes
    assert [one.change.what for one in changes] == ["Hotter grate"]


def test_without_marks_the_page_says_what_to_do(open_page, today):
    page = text_of(open_page("show_ledger"))
    assert "No contest with every judge’s marks yet." in page


def test_names_are_text(open_page, cook_contest, today):
    cook_contest(10, 8, 10, 10, 10, weeks=1, name="<b>Smoke & Co</b>")
    cook_contest(10, 8, 10, 10, 10, weeks=2)
    page = open_page("show_ledger").content.decode()
    assert "<b>Smoke" not in page
    assert "&lt;b&gt;Smoke &amp; Co&lt;/b&gt;" in page


def rulebooks_offered(answer) -> list[str]:
    (pick,) = [pick for pick in answer.context["form"].picks() if pick.name == "rulebook"]
    return [words for _, words in pick.options]


def test_a_rulebook_says_its_contests_of_what_is_chosen(open_page, cook_contest, today):
    """Four in 2027 and two in 2026 by the one, two in 2027 by the other; one more of chicken."""
    other = RulebookFactory(name="Another")
    for weeks in (1, 2, 3, 4, 60, 61):
        cook_contest(10, 8, 10, 10, 10, weeks=weeks)
    for weeks in (5, 6):
        cook_contest(10, 8, 10, 10, 10, weeks=weeks, rulebook=other)
    chicken = cook_contest(10, 8, 10, 10, 10, weeks=7, category="Chicken")
    offered = rulebooks_offered(open_page("show_ledger"))  # the usual one: season 2027
    assert offered == ["Open Slate 1 (4 contests)", "Another 1 (2 contests)"]
    offered = rulebooks_offered(open_page("show_ledger", query="season=all"))
    assert offered == ["Open Slate 1 (6 contests)", "Another 1 (2 contests)"]
    offered = rulebooks_offered(open_page("show_ledger", query="season=2026"))
    assert offered == ["Open Slate 1 (2 contests)", "Another 1 (0 contests)"]
    since = TODAY - timedelta(weeks=5)
    offered = rulebooks_offered(open_page("show_ledger", query=f"season=2026&since={since}"))
    assert offered == ["Open Slate 1 (4 contests)", "Another 1 (1 contest)"]
    offered = rulebooks_offered(open_page("show_ledger", query=f"category={chicken.category.pk}"))
    assert offered == ["Open Slate 1 (1 contest)", "Another 1"]  # no chicken by that one ever


def test_two_boxes_of_two_categories_are_one_contest_each(open_page, cook_contest, today):
    entry = cook_contest(10, 8, 10, 10, 10, weeks=1)
    cook_contest(10, 8, 10, 10, 10, contest=entry.contest)
    cook_contest(10, 8, 10, 10, 10, contest=entry.contest, category="Chicken")
    assert rulebooks_offered(open_page("show_ledger")) == ["Open Slate 1 (1 contest)"]


@pytest.mark.parametrize("contests", [3, 12])
def test_a_page_that_is_not_kept_takes_17_queries_however_many_contests(
    open_page, cook_contest, today, contests, django_assert_num_queries
):
    for weeks in range(1, contests + 1):
        cook_contest(10, 8, 10, 10, 10, weeks=weeks, judges=2)
    with django_assert_num_queries(17):  # three of them sign in
        open_page("show_ledger", query="season=all")
