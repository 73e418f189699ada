"""What was taken out comes in again: nothing is doubled, nothing lost."""

import pytest

from teamops.contests.models import Entry
from teamops.judging.actions import rescore
from teamops.judging.exports import csv_of, workbook_of
from teamops.judging.imports import guess, plan, read_file, take_in
from teamops.judging.models import ScoreSheet
from teamops.teams.models import Team
from tests.factories.rules import RulebookFactory
from tests.judging.imports.tables import batch_of, wide_rows


@pytest.fixture(autouse=True)
def book(db):
    return RulebookFactory(name="Open Slate")


@pytest.mark.parametrize("units", Team.Units.values)
def test_what_is_taken_out_is_here_already_when_brought_in(team, cook, units):
    team.units = units
    team.save()
    take_in(batch=batch_of(team, cook.user, wide_rows(3)), by=cook.user)
    box = Entry.objects.for_team(team).first()
    box.peak_c, box.doneness_seen, box.placing, box.tied = "55.5556", "right", 3, True
    box.cook_of_record, box.notes, box.official_total = cook.user, "=wind", "180.5"
    box.save()
    sheet = ScoreSheet.objects.filter(entry=box).first()
    sheet.comment, sheet.given_total = "-salty", "40.5"
    sheet.save()
    for kind in ("contests", "results", "sheets"):
        (table,) = read_file(csv_of(team, kind), f"{kind}.csv")
        found = plan(team, table.rows, guess(table.rows, team))
        assert found.problems == (), kind
        assert (found.counts["new"], found.counts["changes"]) == (0, 0), kind
        assert found.counts["same"] == len(table.rows) - 1, kind


def test_a_team_moves_with_its_workbook(team, cook, stranger):
    """What one team takes out another brings in, and it comes to the same."""
    take_in(batch=batch_of(team, cook.user, wide_rows(3)), by=cook.user)
    sheets = {table.name: table for table in read_file(workbook_of(team), "all.xlsx")}
    for name in ("Contests", "Boxes and results", "Score sheets"):
        rows = sheets[name].rows
        take_in(batch=batch_of(stranger.team, stranger.user, rows), by=stranger.user)
    ours, theirs = (
        list(
            Entry.objects.for_team(one)
            .order_by("contest__held_on")
            .values_list("contest__name", "category__name", "result__total", "result__sheets")
        )
        for one in (team, stranger.team)
    )
    assert ours == theirs
    assert list(rescore(check=True)) == []
