"""Checklists: as they are kept, on a contest, and how they move with its days."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from teamops.contests.actions import change_contest
from teamops.contests.actions.anchors import change_trip, move_anchored
from teamops.contests.actions.checklists import (
    add_starter_checklists,
    put_checklist,
    save_checklist,
    save_checklist_line,
    take_off,
    tick,
)
from teamops.contests.models import Anchor, ChecklistTemplate, Task, TeamPaper, TemplateTask
from teamops.contests.queries import due
from teamops.contests.queries.anchors import anchor_days
from teamops.contests.queries.checklists import kept_checklists, line_when, tick_board
from tests.factories.contests import ContestFactory, EntryFactory, TaskFactory, TripFactory

SATURDAY = date(2027, 6, 12)


@pytest.fixture
def contest(team):
    return ContestFactory(team=team, name="Gravel Bar Final", held_on=SATURDAY)


@pytest.fixture
def checklist(team):
    """One line of each anchor, and one counted in minutes."""
    kept = save_checklist(checklist=ChecklistTemplate(team=team, name="The usual"))
    for title, anchor, days in (
        ("Order ribeyes", Anchor.TURN_IN, -14),
        ("Load heavy over the axle", Anchor.TRIP, -1),
        ("Check in", Anchor.ARRIVAL, 0),
        ("Dry the knives", Anchor.HOME, 0),
    ):
        save_checklist_line(
            line=TemplateTask(template=kept, title=title, anchor=anchor, offset_days=days)
        )
    save_checklist_line(line=TemplateTask(template=kept, title="Lid and ticket", minutes_before=9))
    return kept


def page(name, team, *args):
    return reverse(f"contests:{name}", args=[team.slug, *args])


def days_of(contest) -> dict[str, date]:
    return dict(contest.tasks.dated().values_list("title", "due_on"))


# Anchors ------------------------------------------------------------------------------------------


def test_without_a_word_a_team_arrives_and_leaves_on_the_day_and_is_home_the_day_after(contest):
    assert anchor_days(contest) == {
        "trip": SATURDAY, "arrival": SATURDAY, "turn_in": SATURDAY, "home": date(2027, 6, 13),
    }  # fmt: skip


@pytest.mark.parametrize(("drive", "leaves"), [(None, 11), (239, 11), (240, 10)])
def test_the_load_in_is_the_arrival_and_a_long_drive_leaves_the_day_before(contest, drive, leaves):
    contest.load_in_at = datetime(2027, 6, 11, 22, 0, tzinfo=UTC)  # Friday 5 pm in Chicago
    contest.drive_minutes = drive
    days = anchor_days(contest)
    assert days["arrival"] == date(2027, 6, 11)
    assert days["trip"] == date(2027, 6, leaves)


def test_the_load_in_is_on_the_contests_own_clock(contest):
    contest.load_in_at = datetime(2027, 6, 12, 3, 0, tzinfo=UTC)  # still Friday in Chicago
    assert anchor_days(contest)["arrival"] == date(2027, 6, 11)


def test_the_trips_own_days_hold(contest):
    contest.trip.leaves_on, contest.trip.home_on = date(2027, 6, 10), date(2027, 6, 14)
    days = anchor_days(contest)
    assert (days["trip"], days["home"]) == (date(2027, 6, 10), date(2027, 6, 14))


def test_a_checklist_moves_with_the_contest(contest, checklist):
    put_checklist(contest=contest, checklist=checklist)
    contest.held_on += timedelta(days=7)
    contest.save()
    move_anchored(contest, timedelta(days=7))
    assert days_of(contest) == {
        "Order ribeyes": date(2027, 6, 5),
        "Load heavy over the axle": date(2027, 6, 18),
        "Check in": date(2027, 6, 19),
        "Dry the knives": date(2027, 6, 20),
    }


def test_a_trip_for_it_alone_moves_too_and_a_shared_one_stays(contest, checklist):
    trip = contest.trip
    trip.leaves_on, trip.home_on = date(2027, 6, 11), date(2027, 6, 13)
    trip.save()
    move_anchored(contest, timedelta(days=7))
    trip.refresh_from_db()
    assert (trip.leaves_on, trip.home_on) == (date(2027, 6, 18), date(2027, 6, 20))
    ContestFactory(team=contest.team, trip=trip)
    move_anchored(contest, timedelta(days=7))
    trip.refresh_from_db()
    assert trip.leaves_on == date(2027, 6, 18)


def test_a_todo_with_a_day_of_its_own_stays(contest):
    own = TaskFactory(contest=contest, due_on=date(2027, 6, 1))
    move_anchored(contest)
    own.refresh_from_db()
    assert own.due_on == date(2027, 6, 1)


@pytest.mark.parametrize("day", [date.min, date.max])
def test_at_the_ends_of_the_calendar_nothing_breaks(contest, checklist, day):
    contest.held_on = day
    put_checklist(contest=contest, checklist=checklist)
    assert set(days_of(contest).values()) <= {
        day,
        date(1, 1, 2),
        date(9999, 12, 30),
        date(9999, 12, 17),
    }


def test_another_load_in_moves_what_hangs_on_arriving(contest, checklist, cook):
    put_checklist(contest=contest, checklist=checklist)
    contest.load_in_at = datetime(2027, 6, 11, 22, 0, tzinfo=UTC)  # Friday evening
    change_contest(contest=contest, seen=contest.version, by=cook.user)
    assert days_of(contest)["Check in"] == date(2027, 6, 11)
    assert days_of(contest)["Load heavy over the axle"] == date(2027, 6, 10)
    assert days_of(contest)["Order ribeyes"] == date(2027, 5, 29)


def test_joining_another_trip_counts_from_its_days(contest, checklist, cook):
    put_checklist(contest=contest, checklist=checklist)
    contest.trip = TripFactory(team=contest.team, leaves_on=date(2027, 6, 9))
    change_contest(contest=contest, seen=contest.version, by=cook.user)
    assert days_of(contest)["Load heavy over the axle"] == date(2027, 6, 8)


def test_changing_a_trips_days_moves_what_hangs_on_them_in_each_contest(contest, checklist):
    twin = ContestFactory(team=contest.team, trip=contest.trip, held_on=SATURDAY)
    for one in (contest, twin):
        put_checklist(contest=one, checklist=checklist)
    contest.trip.leaves_on = date(2027, 6, 9)
    change_trip(trip=contest.trip)
    for one in (contest, twin):
        assert days_of(one)["Load heavy over the axle"] == date(2027, 6, 8)
        assert days_of(one)["Order ribeyes"] == date(2027, 5, 29)


# Putting it on a contest --------------------------------------------------------------------------


def test_putting_a_checklist_on_a_contest_twice_adds_nothing(contest, checklist, cook):
    assert put_checklist(contest=contest, checklist=checklist, person=cook.user) == 5
    assert put_checklist(contest=contest, checklist=checklist) == 0
    assert contest.tasks.count() == 5
    task = contest.tasks.get(title="Order ribeyes")
    assert (task.checklist, task.anchor, task.offset_days) == ("The usual", "turn_in", -14)
    assert (task.due_on, task.person) == (date(2027, 5, 29), cook.user)
    step = contest.tasks.get(title="Lid and ticket")
    assert (step.minutes_before, step.anchor, step.due_on) == (9, "", None)
    assert list(contest.tasks.steps()) == [step]


def test_taking_a_checklist_off_keeps_what_is_done(contest, checklist, cook):
    put_checklist(contest=contest, checklist=checklist)
    tick(task=contest.tasks.get(title="Check in"), done=True, by=cook.user)
    TaskFactory(contest=contest, title="Ours")
    assert take_off(contest=contest, name="The usual") == 4
    assert {task.title for task in contest.tasks.all()} == {"Check in", "Ours"}
    assert take_off(contest=contest, name="The usual") == 0


def test_starters_come_once_and_leave_own_lists_alone(team):
    ChecklistTemplate.objects.create(team=team, name="On arrival")
    assert add_starter_checklists(team=team) == 3
    assert add_starter_checklists(team=team) == 0
    assert not ChecklistTemplate.objects.get(name="On arrival").tasks.exists()
    assert TemplateTask.objects.for_team(team).filter(minutes_before=None).count() > 20


@pytest.mark.outside(
    "common practice, no source: cautions stand where it can hurt, and defer to makers and codes"
)
@pytest.mark.parametrize(
    "word", ["cylinder", "Dispose of the ash", "Load heavy", "coupler", "raw apart", "knives"]
)
def test_starters_caution_where_it_can_hurt(team, word):
    add_starter_checklists(team=team)
    lines = TemplateTask.objects.for_team(team).filter(title__icontains=word)
    assert lines
    assert all(line.caution for line in lines)


@pytest.mark.parametrize(
    ("anchor", "days", "minutes", "words"),
    [
        ("trip", -14, None, "14 days before leaving"),
        ("trip", -1, None, "1 day before leaving"),
        ("arrival", 0, None, "the day of arriving"),
        ("home", 2, None, "2 days after being home again"),
        ("turn_in", None, 30, "30 min before the turn-in"),
    ],
)
def test_when_a_line_is_due_in_words(anchor, days, minutes, words):
    line = TemplateTask(anchor=anchor, offset_days=days, minutes_before=minutes)
    assert line_when(line) == words


# The board ----------------------------------------------------------------------------------------


def test_the_board_says_count_day_hour_owner_and_who_did_it(contest, checklist, cook, helper):
    opens = datetime(2027, 6, 12, 18, 0, tzinfo=UTC)
    EntryFactory(contest=contest, window_opens_at=opens)
    put_checklist(contest=contest, checklist=checklist, person=cook.user)
    TaskFactory(contest=contest, title="Call", due_on=date(2027, 6, 1), due_at=time(17, 30))
    TaskFactory(contest=contest, title="A step of the sheet", due_on=None, minutes_before=5)
    tick(task=contest.tasks.get(title="Check in"), done=True, by=helper.user)
    board = tick_board(contest, date(2027, 6, 2))
    assert (board.count, board.left) == ("1 of 6", 5)
    usual, ours = board.groups
    assert (usual.name, usual.count, ours.name) == ("The usual", "1 of 5", "Our own to-dos")
    rows = {row.what: row for group in board.groups for row in group.rows}
    assert list(rows) == [
        "Order ribeyes", "Load heavy over the axle", "Check in", "Lid and ticket",
        "Dry the knives", "Call",
    ]  # fmt: skip
    assert rows["Lid and ticket"].when == "12:51 pm, 9 min before the turn-in"
    assert rows["Call"].when == "Tue 1 Jun, 5:30 pm"
    assert rows["Order ribeyes"].state == "overdue"
    assert rows["Order ribeyes"].who == str(cook.user)
    assert rows["Check in"].state.startswith(f"done by {helper.user}, ")


def test_what_a_link_ticked_says_whose_link(contest, cook):
    task = TaskFactory(contest=contest)
    tick(task=task, done=True, by=cook.user, done_as="Marta")
    tick(task=task, done=True, by=cook.user)  # a second press keeps the first who
    task.refresh_from_db()
    assert (task.done_by, task.done_as) == (cook.user, "Marta")
    ((row,),) = [group.rows for group in tick_board(contest, SATURDAY).groups]
    assert row.state.startswith("done by Marta’s link, ")
    tick(task=task, done=False, by=cook.user)
    task.refresh_from_db()
    assert (task.done_by, task.done_at, task.done_as) == (None, None, "")


@pytest.mark.parametrize("many", [1, 20])
def test_the_board_takes_two_queries_however_long(contest, member, many, django_assert_num_queries):
    for _ in range(many):
        EntryFactory(contest=contest)
        TaskFactory(
            contest=contest, checklist="The usual", person=member.user, done_by=member.user,
            done_at=timezone.now(),
        )  # fmt: skip
    with django_assert_num_queries(2):
        assert tick_board(contest, SATURDAY).count == f"{many} of {many}"


@pytest.mark.parametrize("many", [1, 9])
def test_kept_checklists_take_two_queries(team, many, django_assert_num_queries):
    for number in range(many):
        kept = ChecklistTemplate.objects.create(team=team, name=f"List {number}")
        TemplateTask.objects.create(template=kept, title="Look", offset_days=0)
    with django_assert_num_queries(2):
        assert len(kept_checklists(team)) == many


# Pages --------------------------------------------------------------------------------------------


def test_from_nothing_to_a_ticked_line(signed_in, team, contest):
    """The empty page leads to the starters and back; a list is put on and a line ticked."""
    here = page("show_checklist", team, contest.pk)
    assert "Start with our usual ones" in signed_in.get(here).content.decode()
    answer = signed_in.post(page("add_starter_checklists", team), {"contest": contest.pk})
    assert answer.url == here
    kept = ChecklistTemplate.objects.get(name="On arrival")
    assert (
        signed_in.post(page("put_checklist", team, contest.pk), {"checklist": kept.pk}).url == here
    )
    task = Task.objects.get(title__startswith="Chock the wheels")
    tick_url = page("tick_checklist", team, contest.pk)
    answer = signed_in.post(tick_url, {"done": task.pk})
    assert answer.url == f"{here}#line-{task.pk}"
    assert "1 of 10 done" in signed_in.get(here).content.decode()
    signed_in.post(tick_url, {"undo": task.pk})
    task.refresh_from_db()
    assert task.done_at is None


def test_htmx_gets_the_row_and_the_counts(signed_in, team, contest):
    task = TaskFactory(contest=contest)
    other = TaskFactory(contest=contest)
    url = page("tick_checklist", team, contest.pk)
    said = signed_in.post(url, {"done": task.pk}, headers={"HX-Request": "true"}).content.decode()
    assert "1 of 2 done" in said
    assert f'id="line-{task.pk}"' in said
    assert str(other.pk) not in said


def test_another_contests_line_is_not_ticked(signed_in, team, contest):
    elsewhere = TaskFactory()
    url = page("tick_checklist", team, contest.pk)
    assert signed_in.post(url, {"done": elsewhere.pk}).status_code == 404
    assert signed_in.post(url, {"done": "nonsense"}).status_code == 400
    assert signed_in.post(url).status_code == 400


def test_another_teams_checklist_is_refused(signed_in, team, contest, stranger):
    theirs = ChecklistTemplate.objects.create(team=stranger.team, name="Theirs")
    answer = signed_in.post(page("put_checklist", team, contest.pk), {"checklist": theirs.pk})
    assert answer.status_code == 422
    assert not contest.tasks.exists()


def test_writing_a_checklist_line_by_line(signed_in, team):
    answer = signed_in.post(page("add_checklist", team), {"name": "Our way"})
    kept = ChecklistTemplate.objects.get()
    assert answer.url == page("change_checklist", team, kept.pk)
    add = page("add_checklist_line", team, kept.pk)
    lines = [
        ({"title": "A", "number": "14", "side": "before", "anchor": "trip"}, (-14, None)),
        ({"title": "B", "number": "2", "side": "after", "anchor": "home"}, (2, None)),
        ({"title": "C", "number": "", "side": "before", "anchor": "arrival"}, (0, None)),
        ({"title": "D", "number": "30", "side": "minutes", "anchor": "turn_in"}, (None, 30)),
    ]
    for typed, kept_as in lines:
        assert signed_in.post(add, typed).status_code == 302
        line = TemplateTask.objects.get(title=typed["title"])
        assert (line.offset_days, line.minutes_before) == kept_as
        assert line.anchor == typed["anchor"]
        change = page("change_checklist_line", team, line.pk)
        form = signed_in.get(change).context["form"]
        number = typed["number"] or None
        assert form.initial.get("number") == (int(number) if number else None)
        assert signed_in.post(change, typed).status_code == 302
    assert "Our way" in signed_in.get(page("show_checklists", team)).content.decode()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"title": ""}, "title"),
        ({"number": "-3"}, "number"),
        ({"number": "ten"}, "number"),
        ({"number": "401"}, "number"),
        ({"side": "minutes", "anchor": "home"}, "anchor"),
        ({"side": "minutes", "anchor": "turn_in", "number": "1441"}, "number"),
        ({"anchor": ""}, "anchor"),
        ({"side": "sideways"}, "side"),
        ({"caution": "x" * 201}, "caution"),
        ({"title": "a\x00b"}, "title"),
    ],
)
def test_a_bad_line_is_said_at_its_field(signed_in, team, typed, field):
    kept = ChecklistTemplate.objects.create(team=team, name="Our way")
    fine = {"title": "A", "number": "1", "side": "before", "anchor": "trip"}
    answer = signed_in.post(page("add_checklist_line", team, kept.pk), fine | typed)
    assert answer.status_code == 422
    assert list(answer.context["line_form"].errors) == [field]
    assert not TemplateTask.objects.exists()


def test_a_name_is_there_once(signed_in, team):
    ChecklistTemplate.objects.create(team=team, name="Our way")
    answer = signed_in.post(page("add_checklist", team), {"name": "Our way"})
    assert answer.status_code == 422
    assert "already" in str(answer.context["form"].errors)
    with pytest.raises(ValidationError):
        save_checklist(checklist=ChecklistTemplate(team=team, name="Our way"))


def test_deleting_a_checklist_leaves_contests_alone(signed_in, team, contest, checklist):
    put_checklist(contest=contest, checklist=checklist)
    line = checklist.tasks.first()
    assert signed_in.post(page("delete_checklist_line", team, line.pk)).status_code == 302
    assert signed_in.post(page("delete_checklist", team, checklist.pk)).status_code == 302
    assert not ChecklistTemplate.objects.exists()
    assert contest.tasks.count() == 5


def test_a_todo_gets_an_owner_an_hour_and_a_day_of_its_own(
    signed_in, team, contest, checklist, cook
):
    put_checklist(contest=contest, checklist=checklist)
    task = contest.tasks.get(title="Order ribeyes")
    url = page("change_task", team, task.pk)
    typed = {"title": "Order 6", "due_on": "2027-05-29", "due_at": "17:30", "person": cook.user.pk}
    assert signed_in.post(url, typed).status_code == 302
    task.refresh_from_db()
    assert (task.title, task.due_at, task.person) == ("Order 6", time(17, 30), cook.user)
    assert task.anchor == "turn_in"  # the day was not touched: it moves on
    signed_in.post(url, typed | {"due_on": "2027-05-30"})
    task.refresh_from_db()
    assert (task.anchor, task.offset_days, task.due_on) == ("", None, date(2027, 5, 30))
    assert signed_in.post(url, typed | {"due_on": ""}).status_code == 422
    step = contest.tasks.get(title="Lid and ticket")
    assert signed_in.post(page("change_task", team, step.pk), {"title": "Lid"}).status_code == 302


def test_the_trips_days_are_asked_and_refused_in_its_words(signed_in, team, contest, checklist):
    put_checklist(contest=contest, checklist=checklist)
    url = page("change_trip", team, contest.trip_id)
    answer = signed_in.post(url, {"name": "W", "leaves_on": "2027-06-13", "home_on": "2027-06-10"})
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == ["home_on"]
    signed_in.post(url, {"name": "W", "leaves_on": "2027-06-10", "home_on": ""})
    assert days_of(contest)["Load heavy over the axle"] == date(2027, 6, 9)


def test_a_postponed_contest_takes_its_checklist_along(signed_in, team, contest, checklist):
    """By the page that changes a contest: the hook, not the action alone."""
    put_checklist(contest=contest, checklist=checklist)
    url = reverse("contests:change_contest", args=[team.slug, contest.pk])
    form = signed_in.get(url).context["form"]
    typed = {
        name: "" if form[name].value() is None else form[name].value()
        for name in ("name", "place", "time_zone", "kind", "state")
    }
    answer = signed_in.post(url, typed | {"held_on": "2027-06-19", "seen": contest.version})
    assert answer.status_code == 302, answer.context["form"].errors
    assert days_of(contest)["Order ribeyes"] == date(2027, 6, 5)


def test_each_text_of_the_starters_fits(team):
    """Whole lines: nothing is cut by a column."""
    add_starter_checklists(team=team)
    for line in TemplateTask.objects.for_team(team):
        line.full_clean()


def test_a_helper_ticks_and_a_reader_does_not(client, helper, reader, team, contest):
    task = TaskFactory(contest=contest)
    url = page("tick_checklist", team, contest.pk)
    client.force_login(reader.user)
    assert client.post(url, {"done": task.pk}).status_code == 403
    assert (
        "<button id=" not in client.get(page("show_checklist", team, contest.pk)).content.decode()
    )
    client.force_login(helper.user)
    assert client.post(url, {"done": task.pk}).status_code == 302
    assert client.post(page("put_checklist", team, contest.pk)).status_code == 403


# What is due --------------------------------------------------------------------------------------


def test_what_is_due_says_hour_owner_close_protest_and_papers(team, contest, cook):
    at = datetime(2027, 6, 12, 18, 0, tzinfo=UTC)  # 1:00 pm
    EntryFactory(contest=contest, window_opens_at=at, window_closes_at=at + timedelta(minutes=15))
    contest.awards_at, contest.protest_minutes = at + timedelta(hours=3), 30
    contest.entries_open_at, contest.state = at - timedelta(days=30), "considering"
    contest.save()
    TaskFactory(
        contest=contest,
        title="Call",
        due_on=date(2027, 6, 12),
        due_at=time(13, 5),
        person=cook.user,
    )
    TeamPaper.objects.create(team=team, kind="insure", expires_on=date(2027, 6, 11))
    rows = [(row.on, row.at, row.what) for row in due(team, date(2027, 7, 1))]
    day = date(2027, 6, 12)
    assert [row for row in rows if row[0] >= date(2027, 6, 11)] == [
        (date(2027, 6, 11), "", "Runs out: insurance"),
        (day, "1:00 pm", "Turn in: Ribeye, closes 1:15 pm"),
        (day, "1:05 pm", f"Call, {cook.user.get_short_name()}"),
        (day, "4:00 pm", "Awards"),
        (day, "4:30 pm", "Last moment to protest"),
    ]
    assert (date(2027, 5, 13), "1:00 pm", "Entries open") in rows


def test_a_dropped_box_is_not_due(team, contest):
    at = datetime(2027, 6, 12, 18, 0, tzinfo=UTC)
    EntryFactory(contest=contest, window_opens_at=at, state="dropped")
    assert due(team, date(2027, 7, 1)) == []


@pytest.mark.parametrize(
    ("lines", "rows"),
    [
        (2, ["Line 0", "Line 1"]),
        (3, ["On arrival: 3 things to tick off"]),
        (8, ["On arrival: 8 things to tick off"]),
    ],
)
def test_a_days_lines_of_one_checklist_are_one_thing_due(team, contest, lines, rows):
    """A list of eight must not push the rest of the season out of sight."""
    for number in range(lines):
        TaskFactory(
            contest=contest, checklist="On arrival", title=f"Line {number}", due_on=SATURDAY
        )
    found = due(team, date(2027, 7, 1))
    assert [row.what for row in found] == rows
    assert {row.url for row in found} == {
        reverse("contests:show_checklist", args=[team.slug, contest.pk])
    }
