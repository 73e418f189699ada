"""The demo season tells the story it is meant to tell, whatever day it is loaded."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction
from django.db.models import Value
from django.db.models.functions import Concat
from hypothesis import given
from hypothesis import strategies as st

from teamops.contests.models import Contest, Entry
from teamops.contests.queries import payments_part
from teamops.insight.demo import calendar, load_demo
from teamops.judging.models import Change, Mark, Result
from teamops.packing.models import PackingList
from teamops.teams.models import Membership, Team, User

pytestmark = pytest.mark.django_db
TODAY = date(2027, 11, 2)


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker) -> Iterator[Team]:
    """Loaded once for all tests of this file, which only read it, and rolled back."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield load_demo(TODAY)
        transaction.set_rollback(True)


def ribeye(season_year: int, **filters: object):
    return Mark.objects.filter(
        sheet__entry__category__name="Ribeye",
        sheet__entry__contest__held_on__year=season_year,
        points__isnull=False,
        **filters,
    )


@pytest.mark.parametrize(
    ("year", "means", "places"),
    [
        (2026, "8.9 7.6 8.3 8.4 8.2", 1),
        (2027, "8.9 8.7 8.45 8.4 8.5", 2),
    ],
)
def test_ribeye_means(demo, year, means, places):
    """As the story has them, to the places it is told with: halves allow no more."""
    for key, mean in zip(
        ("appearance", "doneness", "taste", "texture", "overall"), means.split(), strict=True
    ):
        marks = list(ribeye(year, criterion__key=key).values_list("points", flat=True))
        assert len(marks) >= 35
        assert abs(sum(marks) / len(marks) - Decimal(mean)) < Decimal("0.5") / 10**places


def test_marks_are_halves_from_one_to_ten(demo):
    for points in ribeye(2026).values_list("points", flat=True):
        assert 1 <= points <= 10
        assert points * 2 == int(points * 2)


def test_what_organisers_gave(demo):
    basis = {
        row.entry.contest.name: row.basis
        for row in Result.objects.select_related("entry__contest").filter(
            entry__category__name="Ribeye"
        )
    }
    assert basis["Fogbell Steak Day"] == "placing"
    assert basis["Tallow & Thunder"] == "total"
    assert basis["Pomace Pull"] == "judge_totals"
    assert sorted(basis.values()).count("marks") == 15
    fogbell = Entry.objects.get(contest__name="Fogbell Steak Day")
    assert (fogbell.placing, fogbell.field_size) == (12, 40)


def test_a_posted_total_that_does_not_add_up(demo):
    entry = Entry.objects.get(contest__name="Two Barns Burnout")
    assert entry.result.total == Decimal("210.5")
    assert entry.official_total == Decimal("201.5")


def test_six_judges_and_a_blank_cell_are_kept_and_flagged(demo):
    entry = Entry.objects.get(contest__name="Long Daylight Ribeye")
    assert entry.sheets.count() == 6
    assert Mark.objects.filter(sheet__entry=entry, points=None).count() == 1
    kinds = {flag["kind"] for flag in entry.result.flags}
    assert {"too_many_sheets", "blank"} <= kinds


def test_the_rest_of_the_story(demo):
    out = Entry.objects.get(disqualified=True)
    assert "Five pieces" in out.disqualified_why
    assert Entry.objects.filter(tied=True).count() == 1
    moved = Entry.objects.get(contest__name="Bellrope Purse", category__name="Ribeye")
    opens = set(moved.history.values_list("window_opens_at", flat=True))
    assert len(opens) == 2
    double = Contest.objects.filter(name__startswith="Old Tollbar")
    assert len({(row.held_on, row.trip_id) for row in double}) == 1
    night = Entry.objects.get(contest__name="Nine Lamps Night Cook")
    zone = night.contest.zone
    assert night.window_closes_at.astimezone(zone).date() > night.contest.held_on
    lost_hour = Contest.objects.get(name="Lost Hour Cook").held_on
    assert lost_hour == calendar.clock_change(lost_hour.year)
    marinade = Change.objects.get(what="Mushroom marinade")
    cooked = Result.objects.with_marks().filter(
        entry__category__name="Ribeye", entry__contest__held_on__gte=lost_hour
    )
    inside = {"entry__contest__held_on__range": (marinade.starts_on, marinade.ends_on)}
    on = cooked.filter(**inside).count()
    assert (on, cooked.count() - on) == (4, 4)
    rack = Change.objects.get(what="Rest on a warm rack")
    assert (rack.category.name, rack.uses.filter(on=False).count()) == ("Ribeye", 8)
    same_day = Change.objects.filter(what__in=["New grate", "Browned butter at the finish"])
    assert len(set(same_day.values_list("starts_on", flat=True))) == 1
    assert {row.role for row in Membership.objects.all()} == {"owner", "cook", "helper"}


def test_a_fee_paid_twice_and_a_card_that_runs_out_before_the_final(demo):
    bellrope = Contest.objects.get(name="Bellrope Purse")
    assert [row.amount for row in bellrope.payments.all()] == [150, 150, 150]
    assert not payments_part(bellrope, TODAY).asks  # one of the three came back: nothing is open
    final = Contest.objects.get(name="Gravel Bar Final")
    card = demo.papers.get(expires_on=final.held_on - timedelta(days=3))
    assert (card.kind, card.holder.name) == ("food", "Orla Venwick")


def test_a_posted_list_is_corrected_six_days_later(demo):
    entry = Entry.objects.get(contest__name="Old Tollbar Double B")
    first, second = entry.contest.postings.all()
    assert second.posted_on - first.posted_on == timedelta(days=6)
    for posting, place in ((first, 4), (second, 3)):
        assert posting.lines.count() == 28
        assert posting.lines.get(entry=entry).placing == place
    assert (entry.placing, entry.field_size, entry.official_total) == (3, 28, entry.result.total)
    assert "4" in entry.corrections.last().what


def test_a_box_looked_at_and_turned_in_20_seconds_late(demo):
    entry = Entry.objects.get(contest__name="Wet Boots")
    assert entry.turned_in_at - entry.window_closes_at == timedelta(seconds=20)
    assert entry.late == Entry.Late.TAKEN
    assert entry.lid_checks.get().all_right
    assert entry.contest.words.filter(changed=True).count() == 2


def test_past_contests_are_cooked_and_coming_ones_come(demo):
    past = Contest.objects.past(TODAY)
    assert past.count() == 18
    assert set(past.values_list("state", flat=True)) == {"cooked"}
    names = [row.name for row in Contest.objects.coming(TODAY)]
    assert names == ["Practice at home", "Zoneline Cook", "Gravel Bar Final"]


def test_a_list_is_half_packed_and_short_of_charcoal(demo):
    packing_list = PackingList.objects.get(trip__name="Zoneline Cook")
    lines = packing_list.lines
    assert lines.count() > 80
    assert 0 < lines.filter(packed_at__isnull=False).count() < lines.count() / 2
    short = lines.get(have__isnull=False)
    assert short.shopping.get().amount == short.amount - short.have


def test_stored_results_equal_the_marks(demo):
    out = StringIO()
    call_command("rescore", "--check", stdout=out)
    assert out.getvalue() == ""


def told() -> list[tuple]:
    rows = Mark.objects.order_by("sheet_id", "criterion__order")
    return list(rows.values_list("sheet_id", "criterion__key", "points"))


def test_the_same_day_gives_the_same_marks(demo):
    first = told()
    with transaction.atomic():
        demo.delete()
        User.objects.update(email=Concat(Value("old."), "email"))
        assert not told()
        load_demo(TODAY)
        assert told() == first
        transaction.set_rollback(True)


def test_loading_twice_is_refused(demo):
    with pytest.raises(CommandError, match="already"):
        call_command("load_demo")


@given(st.dates(date(2026, 1, 1), date(2040, 12, 31)))
def test_past_days_are_past_and_in_order(today):
    first = calendar.first_season(today, 9)
    second = calendar.second_season(today, 8)
    assert first == sorted(set(first))
    assert second == sorted(set(second))
    assert first[-1] < second[0]
    assert first[-1].year < second[0].year or first[-1].year == second[0].year - 1
    assert second[-1] <= today - timedelta(days=13)
    assert all(day.weekday() == calendar.SATURDAY for day in first + second[1:])
    assert calendar.clock_change(second[0].year) == second[0]
