"""The season's home: what comes next, what is to do, what has been, where the points go."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Contest, Task
from teamops.contests.queries import ticket_of
from teamops.insight.queries import season_page, todo_list
from teamops.insight.queries.ribbon import Packed, ribbon, ribbon_words
from tests.factories.contests import (
    CategoryFactory,
    ContestFactory,
    EntryFactory,
    PaymentFactory,
    TaskFactory,
)
from tests.factories.judging import scored_entry
from tests.factories.packing import PackingLineFactory, PackingListFactory
from tests.insight.conftest import NOON, TODAY
from tests.insight.pages import text_of


def contest_in(team, days: int, **more) -> Contest:
    return ContestFactory(team=team, held_on=TODAY + timedelta(days=days), **more)


def headline(team) -> str:
    return season_page(team, TODAY, NOON).headline


@pytest.mark.parametrize(
    ("days", "words"), [(0, "today"), (1, "tomorrow"), (11, "in 11 days"), (40, "in 40 days")]
)
def test_the_headline_says_how_far_the_next_turn_in_is(team, today, days, words):
    contest_in(team, days + 20)
    contest_in(team, days)
    assert headline(team) == f"Next turn-in {words}"


def test_a_contest_in_sight_is_no_turn_in_yet(team, today):
    contest_in(team, 4, state="considering")
    assert headline(team) == "Next contest in sight in 4 days"
    contest_in(team, 9, state="paid")
    assert headline(team) == "Next turn-in in 9 days"


def test_a_practice_is_called_one(team, today):
    contest_in(team, 3, kind="practice")
    assert headline(team) == "Practice in 3 days"


def test_a_called_off_contest_is_not_coming(team, today):
    contest_in(team, 3, state="cancelled")
    contest_in(team, -3, state="cooked")
    assert headline(team) == "Nothing coming yet"


def test_when_every_box_is_turned_in_it_says_so(team, today, member):
    contest = contest_in(team, 0)
    EntryFactory(contest=contest, turned_in_at=NOON, turned_in_by=member.user)
    assert headline(team) == "Every box is turned in"


def test_today_is_on_the_teams_clock(open_page, team, monkeypatch):
    """Noon of 1 June in Chicago is already 2 June in Auckland."""
    contest_in(team, 1)
    team.time_zone = "Pacific/Auckland"
    team.save()
    assert "Next turn-in today" in text_of(open_page("show_season"))
    team.time_zone = "America/Chicago"
    team.save()
    assert "Next turn-in tomorrow" in text_of(open_page("show_season"))


def test_an_empty_season_says_what_to_do_first(open_page, team):
    page = text_of(open_page("show_season"))
    assert "Your season starts here" in page
    assert "Add Saturday’s contest" in page
    assert "Type last Sunday’s sheets" in page
    assert reverse("contests:add_contest", args=[team.slug]) in page


def test_a_reader_is_not_told_to_add(client, reader, team):
    client.force_login(reader.user)
    page = text_of(client.get(reverse("insight:show_season", args=[team.slug])))
    assert "Add Saturday’s contest" not in page
    assert "A cook or an owner of the team can add one." in page


def test_a_ticket_has_date_place_drive_boxes_and_stamps(open_page, team):
    contest = contest_in(
        team, 11, name="Gravel Bar Final", place="Shinglestrand", drive_minutes=130,
        state="entered", fee="150.00",
    )  # fmt: skip
    for _ in range(2):
        EntryFactory(
            contest=contest,
            window_opens_at=datetime(2027, 6, 12, 18, 0, tzinfo=UTC),
            window_closes_at=datetime(2027, 6, 12, 18, 15, tzinfo=UTC),
        )
    page = text_of(open_page("show_season"))
    for piece in (
        "Sat", ">12<", "Jun 2027", "Gravel Bar Final",
        "Shinglestrand · 2 h 10 min drive · 2 entries",
        "in 11 days", "entered", "fee 150.00 USD to pay", "Ribeye: 1:00 pm to 1:15 pm, 2 boxes",
        'aria-label="The way to the turn-in: entered done, pay comes now',
    ):  # fmt: skip
        assert piece in page, piece


@pytest.mark.parametrize(
    ("state", "known", "stamp"),
    [
        ("accepted", {"fee": "150"}, "fee 150.00 USD to pay"),  # nobody said that it is paid
        ("accepted", {"fee": "150", "fee_paid_on": TODAY}, "fee paid"),
        ("paid", {"fee_paid_on": TODAY}, "fee paid"),
        ("considering", {}, ""),
        ("accepted", {}, ""),
        ("entered", {"fee": "0"}, "no fee"),
        ("considering", {"fee": "150"}, "fee 150.00 USD to pay"),
        ("considering", {"fee": "150", "early_fee": "120", "early_until_on": TODAY},
         "fee 120.00 USD to pay"),
    ],
)  # fmt: skip
def test_the_fee_stands_in_words(team, today, state, known, stamp):
    contest_in(team, 3, state=state, **known)
    team.contests.first().refresh_from_db()
    (ticket,) = season_page(team, TODAY, NOON).coming
    assert ticket.fee == stamp


def test_a_fee_paid_in_part_says_what_is_left(team, today):
    contest = contest_in(team, 11, state="entered", fee="150.00")
    PaymentFactory(contest=contest, amount="80.00", paid_on=TODAY)
    contest.refresh_from_db()
    (ticket,) = season_page(team, TODAY, NOON).coming
    assert (ticket.fee, ticket.fee_look) == ("70.00 of 150.00 USD still to pay", "due")


def test_a_box_that_is_turned_in_is_no_longer_to_do(team, today, member):
    contest = contest_in(team, 0)
    known = {"window_opens_at": NOON, "window_closes_at": NOON + timedelta(minutes=10)}
    EntryFactory(contest=contest, turned_in_at=NOON, turned_in_by=member.user, **known)
    EntryFactory(contest=contest, category__name="Chicken", **known)
    said = [row.what for _, rows in todo_list(team, TODAY).groups for row in rows]
    assert [what for what in said if "Turn in" in what] == ["Turn in: Chicken, closes 12:10 pm"]


# The ribbon ---------------------------------------------------------------------------------------


def way(contest: Contest, packed: Packed | None = None) -> list[tuple[str, str]]:
    stops = ribbon(ticket_of(contest, TODAY), packed, NOON, TODAY)
    return [(stop.word, stop.look) for stop in stops]


def test_the_way_begins_with_entering(team, today):
    contest = contest_in(team, 20, state="considering", deadline_on=TODAY + timedelta(days=2))
    assert way(contest) == [
        ("enter", "now"), ("pay", "next"), ("pack", "next"), ("load-in", "next"),
        ("turn-in", "next"),
    ]  # fmt: skip


def test_the_way_goes_on_to_packing(team, today):
    contest = contest_in(team, 20, state="accepted")
    assert way(contest, Packed(10, 4))[:2] == [("entered", "done"), ("pay", "now")]
    contest.fee_paid_on = TODAY
    assert way(contest, Packed(10, 4))[:3] == [
        ("entered", "done"),
        ("paid", "done"),
        ("pack", "now"),
    ]
    assert way(contest, Packed(10, 10))[2] == ("packed", "done")
    assert way(contest, Packed(0, 0))[2] == ("pack", "now")


def test_the_way_passes_load_in_by_the_clock(team, today, member):
    contest = contest_in(
        team, 0, state="paid", fee_paid_on=TODAY, load_in_at=NOON - timedelta(hours=4)
    )
    EntryFactory(contest=contest, turned_in_at=NOON, turned_in_by=member.user)
    assert way(contest, Packed(3, 3)) == [
        (word, "done") for word in ("entered", "paid", "packed", "load-in", "turned in")
    ]
    contest.load_in_at = NOON + timedelta(minutes=1)
    assert way(contest, Packed(3, 3))[3] == ("load-in", "now")


def test_a_wait_list_is_not_entered(team, today):
    stops = ribbon(ticket_of(contest_in(team, 9, state="wait_list"), TODAY), None, NOON, TODAY)
    assert stops[0][:2] == ("entered", "wait list")
    assert stops[0].look == "now"
    assert "entered comes now (wait list)" in ribbon_words(stops)


def test_a_practice_needs_no_entering(team, today):
    assert [word for word, _ in way(contest_in(team, 9, kind="practice"))] == [
        "pack", "load-in", "turn-in",
    ]  # fmt: skip


def test_packing_is_counted_from_the_trips_own_list(team, today):
    contest = contest_in(team, 9)
    packing_list = PackingListFactory(trip=contest.trip)
    PackingLineFactory.create_batch(2, packing_list=packing_list, packed=True)
    PackingLineFactory(packing_list=packing_list)
    PackingLineFactory(packing_list=packing_list, gone=True)
    PackingLineFactory(packing_list=packing_list, amount=0)
    (ticket,) = season_page(team, TODAY, NOON).coming
    assert ticket.packing == "1 to pack"
    assert "2/3" in ticket.way


# To do --------------------------------------------------------------------------------------------


def test_one_list_of_what_every_app_has_due(team, today):
    soon = contest_in(team, 5, load_in_at=NOON + timedelta(days=5))
    PackingLineFactory(packing_list=PackingListFactory(trip=soon.trip))
    cooked = contest_in(team, -2, state="cooked", name="Cooked")
    EntryFactory(contest=cooked)
    TaskFactory(contest=soon, title="Order ribeyes", due_on=TODAY)
    todo = todo_list(team, TODAY)
    assert [(row.when, row.what.split(" of ")[0]) for row in todo.rows] == [
        ("Sun 30 May", "Log the score sheets"),
        ("Today", "Order ribeyes"),
        ("Sat 5 Jun", "Pack 1 thing"),
        ("Sun 6 Jun, 12:00 pm", "Load-in"),
    ]
    assert todo.rows[0].late == "overdue 2 days"
    assert todo.overdue == 1


def test_what_is_far_away_is_not_to_do_yet(team, today):
    contest = contest_in(team, 90)
    TaskFactory(contest=contest, due_on=TODAY + timedelta(days=42), title="In six weeks")
    TaskFactory(contest=contest, due_on=TODAY + timedelta(days=43), title="Later")
    assert [row.what for row in todo_list(team, TODAY).rows] == ["In six weeks"]


def test_a_long_list_is_folded(team, today):
    TaskFactory.create_batch(15, contest=contest_in(team, 9), due_on=TODAY)
    assert len(todo_list(team, TODAY).rows) == 15
    TaskFactory(contest=contest_in(team, 9), due_on=TODAY)
    todo = todo_list(team, TODAY)
    assert (len(todo.rows), len(todo.more)) == (12, 4)
    assert [title for title, _ in todo.groups] == ["", "4 more in the next six weeks"]


def test_two_boxes_in_one_window_are_one_line(team, today):
    contest = contest_in(team, 2)
    closes = NOON + timedelta(days=2)
    EntryFactory.create_batch(
        2, contest=contest, category=CategoryFactory(team=team), window_closes_at=closes
    )
    assert [row.what for row in todo_list(team, TODAY).rows] == ["Turn in: Ribeye, 2 boxes"]


def test_overdue_is_said_in_words(open_page, team):
    TaskFactory(
        contest=contest_in(team, 9), title="Mend the grate", due_on=TODAY - timedelta(days=3)
    )
    page = text_of(open_page("show_season"))
    assert "1 overdue." in page
    assert "overdue 3 days" in page


def tick_url(task: Task) -> str:
    return reverse("contests:set_task_done", args=[task.contest.team.slug, task.pk])


def test_a_tick_without_a_script_comes_back_to_the_season(open_page, signed_in, team):
    task = TaskFactory(contest=contest_in(team, 9), title="Mend the grate", due_on=TODAY)
    assert f'formaction="{tick_url(task)}"' in open_page("show_season").content.decode()
    pressed = {"done": "yes", "next": "season"}
    for _ in range(2):  # pressed twice
        answer = signed_in.post(tick_url(task), pressed)
        assert answer.url == reverse("insight:show_season", args=[team.slug])
    page = text_of(open_page("show_season"))
    assert "Mend the grate" not in page


def test_a_tick_by_htmx_gets_the_list_alone(today, signed_in, team):
    contest = contest_in(team, 9)
    task = TaskFactory(contest=contest, title="Mend the grate", due_on=TODAY)
    TaskFactory(contest=contest, title="Buy ice", due_on=TODAY)
    answer = signed_in.post(
        tick_url(task),
        {"done": "yes", "next": "season"},
        headers={"HX-Request": "true"},
        follow=True,
    )
    part = text_of(answer)
    assert 'id="season-todo"' in part
    assert "<html" not in part
    assert "Buy ice" in part
    assert "Mend the grate" not in part
    assert "HX-Request" in answer["Vary"]


def test_a_reader_sees_no_tick(client, reader, team, today):
    client.force_login(reader.user)
    TaskFactory(contest=contest_in(team, 9), title="Mend the grate", due_on=TODAY)
    page = text_of(client.get(reverse("insight:show_season", args=[team.slug])))
    assert "Mend the grate" in page
    assert "formaction" not in page


# What has been ------------------------------------------------------------------------------------


def test_this_seasons_contests_are_small_tickets(open_page, cook_contest):
    cook_contest(9, 9, 9, 9, 9, weeks=1, name="Wet Boots", placing=6, field_size=20)
    cook_contest(9, 9, 9, 9, 9, weeks=40, name="Last year's")
    page = text_of(open_page("show_season"))
    assert "Season 2027" in page
    assert "Wet Boots" in page
    assert "225 of 250, 6th of 20" in page
    assert "Last year" not in page


def test_before_the_first_contest_the_last_season_stands(open_page, cook_contest):
    cook_contest(9, 9, 9, 9, 9, weeks=40, name="Last one")
    assert "Season 2026" in text_of(open_page("show_season"))


def test_only_the_latest_contests_are_shown_with_the_way_to_the_rest(open_page, team, cook_contest):
    for weeks in range(1, 10):
        cook_contest(9, 9, 9, 9, 9, weeks=weeks, judges=1)
    past = open_page("show_season").context["season"].past
    assert len(past.tickets) == 8
    assert past.more
    assert past.ledger.contests == 8


def test_a_called_off_contest_says_so(team, today):
    contest_in(team, -3, state="cancelled")
    (ticket,) = season_page(team, TODAY, NOON).past.tickets
    assert ticket.state == "cancelled"


def test_papers_that_are_missing_can_be_typed(open_page, team):
    entry = EntryFactory(contest=contest_in(team, -3, state="cooked"))
    page = open_page("show_season").content.decode()
    url = reverse("judging:record_scores", args=[team.slug, entry.pk])
    assert f'<a href="{url}">type its papers</a>' in page


def test_the_ledger_in_small_says_one_sentence(open_page, cook_contest):
    for weeks in (1, 2, 3):
        cook_contest(10, 6, 9.5, 10, 9.5, weeks=weeks)
    page = text_of(open_page("show_season"))
    assert ", from the latest contests: 3 contests, 15 sheets. A full box earns 250." in page
    assert "Doneness cost most: 20.0 of the 25.0 points lost a contest." in page


def test_the_ledger_in_small_says_that_it_is_of_fewer_contests(open_page, cook_contest, team):
    """Of the eight latest contests one has no papers yet; the season has eight that have."""
    for weeks in range(2, 10):
        cook_contest(9, 9, 9, 9, 9, weeks=weeks, judges=1)
    EntryFactory(contest=contest_in(team, -3, state="cooked"))
    page = text_of(open_page("show_season"))
    assert ", from the latest contests: 7 contests, 7 sheets." in page
    assert "The whole ledger, season by season" in page
    ledger = text_of(open_page("show_ledger"))
    assert "8 contests, 8 sheets, judged by" in ledger


def test_the_ledger_in_small_is_of_the_main_category_and_the_latest_rulebook(team, cook_contest):
    cook_contest(10, 6, 10, 10, 10, weeks=2)
    chicken = cook_contest(1, 1, 1, 1, 1, weeks=1, category="Chicken")
    chicken.category.ancillary = True
    chicken.category.save()
    cook_contest(1, 1, 1, 1, 1, weeks=1, kind="practice")
    ledger = season_page(team, TODAY, NOON).past.ledger
    assert ledger.selection.category == "Ribeye"
    assert ledger.contests == 1
    assert ledger.lost == pytest.approx(20)


def test_names_are_text(open_page, cook_contest, team):
    cook_contest(9, 9, 9, 9, 9, name="<i>Wet</i>", category="<i>Rib</i>")
    TaskFactory(contest=contest_in(team, 9, name="<i>Next</i>"), title="<i>Do</i>", due_on=TODAY)
    assert "<i>" not in open_page("show_season").content.decode()


def test_another_teams_season_stays_theirs(open_page, stranger):
    contest_in(stranger.team, 5, name="Theirs to come")
    past = contest_in(stranger.team, -5, name="Theirs of old", state="cooked")
    scored_entry(EntryFactory(contest=past), [[9, 9, 9, 9, 9]])
    page = text_of(open_page("show_season"))
    assert "Theirs" not in page


@pytest.mark.parametrize("many", [1, 6])
def test_the_page_takes_sixteen_queries_however_long_the_season(
    open_page, team, cook_contest, many, django_assert_num_queries
):
    for weeks in range(1, many + 1):
        cook_contest(9, 9, 9, 9, 9, weeks=weeks, judges=1)
        coming = contest_in(team, 5 * weeks)
        EntryFactory(contest=coming)
        TaskFactory(contest=coming, due_on=TODAY)
        PackingLineFactory(packing_list=PackingListFactory(trip=coming.trip))
    with django_assert_num_queries(16):  # three of them sign in
        open_page("show_season")
    assert timezone.now() == NOON
