"""To-dos, the season's dates and the prep sheet."""

import io
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from pypdf import PdfReader

from teamops.calc.units import f_to_c
from teamops.contests import actions, queries
from teamops.contests.models import Task
from teamops.contests.queries.calendar import calendar_dates
from teamops.contests.steps import STEAK, add_steak_steps, add_usual_steps
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory, TaskFactory

OPENS = datetime(2027, 6, 12, 18, 0, tzinfo=UTC)  # 1:00 pm in Chicago


@pytest.fixture
def contest(team):
    return ContestFactory(team=team, name="Gravel Bar Final", held_on=date(2027, 6, 12))


@pytest.fixture
def entry(contest):
    closes = OPENS + timedelta(minutes=15)
    return EntryFactory(contest=contest, window_opens_at=OPENS, window_closes_at=closes)


def test_a_tick_twice_keeps_the_first_who_and_when(helper, cook, contest):
    task = TaskFactory(contest=contest)
    actions.set_task_done(task=task, done=True, by=helper.user)
    actions.set_task_done(task=task, done=True, by=cook.user)
    task.refresh_from_db()
    assert task.done_by == helper.user
    actions.set_task_done(task=task, done=False, by=cook.user)
    actions.set_task_done(task=task, done=False, by=cook.user)
    task.refresh_from_db()
    assert (task.done_by, task.done_at) == (None, None)


def test_adding_and_ticking_a_todo(signed_in, team, contest):
    add = reverse("contests:add_task", args=[team.slug, contest.pk])
    signed_in.post(add, {"title": "Order 4 ribeyes", "due_on": "2027-06-04"})
    task = Task.objects.get()
    signed_in.post(reverse("contests:set_task_done", args=[team.slug, task.pk]), {"done": "yes"})
    task.refresh_from_db()
    assert task.done_at
    answer = signed_in.post(add, {"title": "", "due_on": "soon"})
    assert answer.status_code == 422
    assert set(answer.context["task_form"].errors) == {"title", "due_on"}
    assert 'value="soon"' in answer.content.decode()


def test_every_dated_thing_is_due(team, contest, entry):
    contest.state, contest.fee = "entered", 50
    contest.deadline_on = date(2027, 6, 1)
    contest.load_in_at = datetime(2027, 6, 12, 12, 0, tzinfo=UTC)
    contest.save()
    TaskFactory(contest=contest, title="Order ribeyes", due_on=date(2027, 6, 4))
    TaskFactory(contest=contest, title="Late", due_on=date(2020, 1, 1))
    TaskFactory(contest=ContestFactory(team=team, state="cancelled"), title="Called off")
    rows = queries.due(team, date(2027, 7, 1))
    assert [(row.on, row.what, row.at) for row in rows] == [
        (date(2020, 1, 1), "Late", ""),
        (date(2027, 6, 1), "Pay the entry fee", ""),
        (date(2027, 6, 4), "Order ribeyes", ""),
        (date(2027, 6, 12), "Load-in", "7:00 am"),
        (date(2027, 6, 12), "Turn in: Ribeye, closes 1:15 pm", "1:00 pm"),
    ]


def test_the_last_moment_to_protest_is_in_the_list_as_it_is_in_the_calendar(team, contest):
    """The meeting's word, else the longest of the rulebooks: in both alike."""
    contest.awards_at = OPENS + timedelta(hours=4)  # 5:00 pm
    contest.save()

    def said() -> list[list[str]]:
        listed = [row.at for row in queries.due(team, date(2027, 7, 1)) if "protest" in row.what]
        rows = calendar_dates(team, date(2027, 6, 1))
        moments = [row.at for row in rows if row.part == "protest" and row.at]
        return [listed, [f"{at.astimezone(contest.zone):%-I:%M} pm" for at in moments]]

    assert said() == [[], []]
    for minutes in (20, 30, None):
        EntryFactory(contest=contest, rulebook__protest_minutes=minutes)
    assert said() == [["5:30 pm"], ["5:30 pm"]]
    contest.protest_minutes = 15
    contest.save()
    assert said() == [["5:15 pm"], ["5:15 pm"]]


def test_a_guest_who_cooks_is_named_where_the_window_stands(team, contest, entry, cook):
    entry.cook_of_record, entry.guest_cook = cook.user, "Sam Oldacre"
    entry.save()
    (row,) = [one for one in queries.due(team, date(2027, 7, 1)) if "Turn in" in one.what]
    assert row.what == "Turn in: Ribeye, Sam Oldacre, guest, closes 1:15 pm"
    (dated,) = [one for one in calendar_dates(team, date(2027, 6, 1)) if one.until]
    assert dated.what == "Turn in: Ribeye, Sam Oldacre, guest"


@pytest.mark.parametrize("many", [1, 8])
def test_due_takes_the_same_queries(team, many, django_assert_num_queries):
    for _ in range(many):
        TaskFactory(contest=EntryFactory(contest__team=team).contest)
    with django_assert_num_queries(5):
        assert len(queries.due(team, date(2100, 1, 1))) == many


def test_steps_count_back_from_the_opening(contest, entry):
    TaskFactory(
        contest=contest, title="Pull", due_on=None, minutes_before=15, target_c=f_to_c(Decimal(136))
    )
    TaskFactory(contest=contest, title="Trim", due_on=None, minutes_before=120)
    (box,) = queries.prep_sheet(contest).boxes
    assert [(row.at, row.what, row.target) for row in box.rows] == [
        ("11:00 am", "Trim", ""),
        ("12:45 pm", "Pull", "136 °F"),
    ]
    assert box.window == "1:00 pm to 1:15 pm"


def test_steps_count_back_over_a_clock_change(team):
    """Lost hour: a 3:10 am turn-in after the clocks go forward starts before they do."""
    contest = ContestFactory(team=team, held_on=date(2027, 3, 14))
    opens = datetime(2027, 3, 14, 8, 10, tzinfo=UTC)
    EntryFactory(contest=contest, window_opens_at=opens)
    TaskFactory(contest=contest, due_on=None, minutes_before=30)
    (box,) = queries.prep_sheet(contest).boxes
    assert box.rows[0].at == "1:40 am"
    assert box.window == "from 3:10 am"


def test_a_step_of_one_box_stands_on_that_box_only(contest, entry):
    other = EntryFactory(contest=contest)
    TaskFactory(contest=contest, due_on=None, minutes_before=5, entry=other)
    boxes = queries.prep_sheet(contest).boxes
    assert sorted(len(box.rows) for box in boxes) == [0, 1]


def test_a_step_of_every_box_says_that_one_tick_does_for_all(signed_in, contest, entry):
    url = reverse("contests:show_prep", args=[contest.team.slug, contest.pk])
    TaskFactory(contest=contest, due_on=None, minutes_before=30, title="Lid")
    assert "one tick for all boxes" not in signed_in.get(url).content.decode()
    EntryFactory(contest=contest, window_opens_at=entry.window_opens_at)
    TaskFactory(contest=contest, entry=entry, due_on=None, minutes_before=20, title="Flip")
    assert signed_in.get(url).content.decode().count("one tick for all boxes") == 2


def test_usual_steps_come_once_and_in_order(contest):
    assert add_steak_steps(contest=contest) == len(STEAK)
    assert add_steak_steps(contest=contest) == 0
    minutes = [step.minutes_before for step in contest.tasks.steps()]
    assert minutes == sorted(minutes, reverse=True)


def test_usual_steps_go_to_steaks_only_and_each_box_ticks_its_own(contest, entry):
    EntryFactory(contest=contest)
    chicken = CategoryFactory(team=contest.team, name="Chicken", ancillary=True)
    EntryFactory(contest=contest, category=chicken)
    assert add_usual_steps(contest=contest) == 2 * len(STEAK)
    assert add_usual_steps(contest=contest) == 0
    assert not Task.objects.filter(entry__category__ancillary=True).exists()
    assert not Task.objects.filter(entry=None).exists()


@pytest.mark.outside("published: FSIS, Beef From Farm to Table: 145 °F and a rest of 3 minutes")
def test_a_pull_under_the_published_minimum_says_so():
    (pull,) = [step for step in STEAK if step.what.startswith("Pull")]
    assert pull.target_f < 145
    assert "145 °F and 3 minutes of rest" in pull.caution


@pytest.mark.outside(
    "common practice, no source: 4 presses of 1:30; 117, 127, 136 °F; 5 minutes of marinade; "
    "warmed in under an hour and the grate at 550-600 °F"
)
def test_usual_steps_agree_with_the_trade():
    at = {step.what.split()[0]: step for step in STEAK}
    assert at["Mark:"].minutes - at["Move"].minutes == 6  # four presses of 1:30
    assert [at[word].target_f for word in ("Move", "Flip", "Pull,")] == [117, 127, 136]
    assert at["Marinate"].minutes - at["Season,"].minutes >= 5
    assert 50 <= at["Start"].minutes - at["Mark:"].minutes <= 67
    assert 550 <= at["Check"].target_f <= 600
    assert at["Light"].minutes - at["Check"].minutes == 40


def test_adding_a_step_in_fahrenheit_reads_back_exactly(signed_in, team, contest):
    url = reverse("contests:show_prep", args=[team.slug, contest.pk])
    signed_in.post(url, {"title": "Pull", "minutes_before": "15", "target": "136.5"})
    assert Task.objects.get().target_c == f_to_c(Decimal("136.5"))
    assert "136.5 °F" in signed_in.get(url).content.decode()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"title": "Pull", "minutes_before": "-3"}, "minutes_before"),
        ({"title": "Pull", "minutes_before": "ten"}, "minutes_before"),
        ({"title": "Pull", "minutes_before": "10", "target": "hot"}, "target"),
        ({"title": "Pull", "minutes_before": "10", "target": "9999"}, "target"),
        ({"title": "", "minutes_before": "10"}, "title"),
    ],
)
def test_bad_steps_are_said_at_their_field(signed_in, team, contest, typed, field):
    url = reverse("contests:show_prep", args=[team.slug, contest.pk])
    answer = signed_in.post(url, typed)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert not Task.objects.exists()


def test_a_helper_reads_the_prep_page_but_does_not_plan(client, helper, contest):
    client.force_login(helper.user)
    url = reverse("contests:show_prep", args=[contest.team.slug, contest.pk])
    assert client.get(url).status_code == 200
    assert client.post(url, {"title": "Pull", "minutes_before": "3"}).status_code == 403


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_prep_sheet_on_paper(signed_in, team, contest, entry, paper):
    team.paper = paper
    team.save()
    add_steak_steps(contest=contest)
    answer = signed_in.get(reverse("contests:print_prep", args=[team.slug, contest.pk]))
    pages = PdfReader(io.BytesIO(answer.content)).pages
    text = "".join(page.extract_text() for page in pages)
    assert "Prep sheet: Gravel Bar Final" in text
    assert "12:45 pm" in text
    assert "136 °F" in text
    assert "ask your health authority" in text
    assert f"page 1 of {len(pages)}" in text.lower()


@pytest.mark.parametrize(
    ("offset", "said"),
    [(40, "is 40 s ahead of ours."), (-75, "is 1 min 15 s behind ours."), (0, "reads the same as"),
     (None, "")],
)  # fmt: skip
def test_the_prep_sheet_says_by_whose_clock_it_is(signed_in, team, contest, entry, offset, said):
    """On the page and on paper, once the clocks were compared."""
    contest.clock_offset_seconds = offset
    contest.save()
    address = [team.slug, contest.pk]
    page = signed_in.get(reverse("contests:show_prep", args=address)).content.decode()
    answer = signed_in.get(reverse("contests:print_prep", args=address))
    text = PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    for words in (page, text):
        assert ("Times are by the official clock." in words) == (offset is not None)
        assert said in words


def test_prep_sheet_without_entries_or_steps_says_so(signed_in, team, contest):
    answer = signed_in.get(reverse("contests:print_prep", args=[team.slug, contest.pk]))
    text = PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    assert "No step yet" in text


def test_prep_takes_the_same_queries_however_long(contest, entry, django_assert_num_queries):
    add_steak_steps(contest=contest)
    EntryFactory(contest=contest)
    with django_assert_num_queries(2):
        queries.prep_sheet(contest)


def test_dated_or_counted_back(contest):
    with pytest.raises(IntegrityError), transaction.atomic():
        TaskFactory(contest=contest, minutes_before=5)
    with pytest.raises(IntegrityError), transaction.atomic():
        TaskFactory(contest=contest, due_on=None)
    with pytest.raises(IntegrityError), transaction.atomic():
        TaskFactory(contest=contest, done_at=OPENS)


def test_a_step_can_be_changed(signed_in, team, contest, entry, member):
    step = TaskFactory(
        contest=contest, title="Pull", due_on=None, minutes_before=15, target_c=f_to_c(Decimal(136))
    )
    url = reverse("contests:change_step", args=[team.slug, step.pk])
    page = signed_in.get(url).content.decode()
    assert 'name="target" value="136"' in page
    assert url in signed_in.get(
        reverse("contests:show_prep", args=[team.slug, contest.pk])
    ).content.decode()  # fmt: skip
    typed = {
        "title": "Pull and tent", "minutes_before": "14", "target": "134.5",
        "person": member.user.pk, "entry": entry.pk, "note": "Left grill",
    }  # fmt: skip
    signed_in.post(url, typed)
    step.refresh_from_db()
    assert (step.title, step.minutes_before, step.person) == ("Pull and tent", 14, member.user)
    assert (step.target_c, step.note, step.entry) == (f_to_c(Decimal("134.5")), "Left grill", entry)
    answer = signed_in.post(url, typed | {"minutes_before": "soon"})
    assert answer.status_code == 422
    assert 'value="soon"' in answer.content.decode()


def test_a_step_in_celsius_reads_back_as_a_number(signed_in, team, contest):
    team.units = "si"
    team.save()
    step = TaskFactory(contest=contest, due_on=None, minutes_before=15, target_c=60)
    url = reverse("contests:change_step", args=[team.slug, step.pk])
    assert 'name="target" value="60"' in signed_in.get(url).content.decode()


def test_a_dated_todo_is_no_step_and_another_teams_is_not_found(signed_in, team, contest):
    theirs = TaskFactory(due_on=None, minutes_before=5)
    for task in (theirs, TaskFactory(contest=contest)):
        url = reverse("contests:change_step", args=[team.slug, task.pk])
        assert signed_in.get(url).status_code == 404


def test_a_todo_can_be_changed(signed_in, team, contest, member):
    task = TaskFactory(contest=contest, title="Order ribeyes")
    show = reverse("contests:show_contest", args=[team.slug, contest.pk])
    url = reverse("contests:change_task", args=[team.slug, task.pk])
    assert url in signed_in.get(show).content.decode()
    typed = {
        "title": "Order 6 ribeyes", "due_on": "2027-06-03", "due_at": "17:30",
        "person": member.user.pk, "note": "From the corner shop",
    }  # fmt: skip
    signed_in.post(url, typed)
    task.refresh_from_db()
    assert (task.title, task.due_on, task.person) == (
        "Order 6 ribeyes",
        date(2027, 6, 3),
        member.user,
    )
    page = signed_in.get(show).content.decode()
    assert "5:30 pm" in page.replace("p.m.", "pm")
    assert "From the corner shop" in page
    assert signed_in.post(url, typed | {"due_on": ""}).status_code == 422
