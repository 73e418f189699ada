"""Everything taken out: what is in it, that it does no harm, that it comes in again as it was."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from teamops.contests.models import Contest
from teamops.judging.exports import KINDS, csv_of, workbook_of
from teamops.judging.imports import guess, plan, take_in
from teamops.judging.models import ChangeUse, Result, ScoreSheet
from teamops.tabular import read_file
from teamops.teams.models import ImportBatch, Team
from tests.factories.contests import (
    CategoryFactory,
    ContestFactory,
    EntryFactory,
    PaymentFactory,
    TaskFactory,
)
from tests.factories.inventory import KitLineFactory
from tests.factories.judging import ChangeFactory, PostingFactory, scored_entry
from tests.factories.rules import RulebookFactory
from tests.factories.teams import MembershipFactory, TeamFactory
from tests.judging.exchange_pages import url

pytestmark = pytest.mark.django_db
FIVE = [[8, 9, 8.5, 7, 8], [9, 9, 8, 8, 8.5], [7, 8, 9, 9, 8], [8, 8, 8, 8, 8], [9.5, 9, 9, 8, 9]]


def rows_of(team: Team, kind: str) -> list[dict[str, str]]:
    """A table as a spreadsheet reads it: each row by its headings."""
    heads, *rows = read_file(csv_of(team, kind), "out.csv")[0].rows
    assert len(set(heads)) == len(heads)
    return [dict(zip(heads, row, strict=True)) for row in rows]


def contest_of(team: Team, **more) -> Contest:
    return ContestFactory(team=team, **{"held_on": date(2024, 5, 4), "state": "cooked"} | more)


@pytest.fixture
def season(team, member):
    """Three boxes under two books: one with odd marks, one with a placing alone, one tied."""
    book = RulebookFactory(name="Five Forks", edition="2")
    odd = EntryFactory(contest=contest_of(team, name="First Fire"), rulebook=book,
                       blind_number="31", cook_of_record=member.user)  # fmt: skip
    scored_entry(
        odd,
        [[None, *FIVE[0][1:]], *FIVE[1:]],
        official_total=Decimal("212.5"),
        placing=4,
        field_size=30,
    )
    second = contest_of(team, name="Second Fire", held_on=date(2024, 6, 1), place="Ferry Landing")
    scored_entry(EntryFactory(contest=second, rulebook=book), FIVE[1:])
    scored_entry(
        EntryFactory(contest=second, rulebook=RulebookFactory(name="Short Book", criteria=2),
                     category=CategoryFactory(team=team, name="Chicken", ancillary=True)),
        [[8, 9]] * 3, placing=7, tied=True, disqualified=False,
    )  # fmt: skip
    alone = EntryFactory(contest=contest_of(team, name="Third Fire", held_on=date(2024, 7, 6)),
                         rulebook=book, peak_c=Decimal("55.5556"), notes="=1+1")  # fmt: skip
    scored_entry(alone, (), placing=12, field_size=40)
    return team


def test_a_row_for_each_sheet_with_a_column_for_each_criterion(season):
    rows = rows_of(season, "sheets")
    assert len(rows) == 5 + 4 + 3 + 1
    first = rows[0]
    assert (first["Contest"], first["Date"], first["Box number"]) == (
        "First Fire", "2024-05-04", "31",
    )  # fmt: skip
    assert (first["Posted total"], first["Placing"], first["Field size"]) == ("212.5", "4", "30")
    assert rows[1]["Posted total"] == "", "once for each box"
    assert rows[1]["Taste"] == "8"
    last = rows[-1]
    assert (last["Contest"], last["Judge"], last["Placing"]) == ("Third Fire", "", "12")
    assert last["Peak temperature °F"] == "132"
    assert {row["Placing"] for row in rows} == {"4", "", "T-7", "12"}


def test_score_sheets_come_in_again_with_the_same_totals(season):
    """Export, an empty team, import: the same boxes, marks and totals; the next time no more."""
    other = MembershipFactory(team=TeamFactory(), role="owner")
    cells = [list(row) for row in read_file(csv_of(season, "sheets"), "sheets.csv")[0].rows]
    batch = ImportBatch.objects.create(
        team=other.team, name="sheets.csv", cells=cells, rows=len(cells), brought_by=other.user,
        columns=guess(cells, other.team).as_dict(),
    )  # fmt: skip
    take_in(batch=batch, by=other.user)
    assert totals(other.team) == totals(season)
    assert rows_of(other.team, "sheets") == rows_of(season, "sheets")
    again = plan(other.team, cells, guess(cells, other.team))
    assert not again.does_anything, again.counts
    assert not plan(season, cells, guess(cells, season)).does_anything


def totals(team: Team) -> list[tuple[object, ...]]:
    rows = Result.objects.for_team(team).order_by(
        "entry__contest__held_on", "entry__rulebook__name", "entry__pk"
    )
    return [
        (row.entry.contest.name, row.basis, row.total, row.most, row.entry.official_total,
         row.entry.placing, row.entry.tied, row.sheets)
        for row in rows
    ]  # fmt: skip


def test_everything_is_in_one_workbook(season, member):
    contest = Contest.objects.for_team(season).get(name="Second Fire")
    entry = contest.entries.first()
    change = ChangeFactory(team=season, what="Rested longer", starts_on=date(2024, 6, 1))
    ChangeUse.objects.create(change=change, contest=contest, on=False)
    PostingFactory(contest=contest, category=entry.category, rows=[(1, "Pit Row", "219.25")])
    PaymentFactory(contest=contest, amount=Decimal("150.00"), payer=member.user)
    TaskFactory(contest=contest, title="Buy charcoal", done_by=member.user,
                done_at=datetime(2024, 5, 30, 12, tzinfo=UTC))  # fmt: skip
    KitLineFactory(kit__team=season, item__team=season, kit__name="Steak kit", item__name="Tongs")
    sheets = {one.name: one.rows for one in read_file(workbook_of(season), "all.xlsx")}
    assert list(sheets) == [kind.title for kind in KINDS.values()]
    text = {title: "\n".join(" | ".join(row) for row in rows) for title, rows in sheets.items()}
    assert "Second Fire (2024-06-01)" in text["Changes"]
    assert "Pit Row" in text["Posted fields"]
    assert "219.25" in text["Posted fields"]
    assert f"150 | {season.currency}" in text["Payments"]
    assert "Buy charcoal" in text["To-dos"]
    assert "2024-05-30" in text["To-dos"]
    assert "Tongs" in text["Packing items"]
    assert "Steak kit" in text["Packing items"]
    assert "Ferry Landing" in text["Contests"]
    assert len(sheets["Boxes and results"]) == 1 + 4
    assert "Taste" in text["Criterion totals"]
    numbers = {row[4]: row for row in sheets["Criterion totals"][1:] if row[0] == "Second Fire"}
    assert numbers["Taste"][5:10] == ("4", "8.5", "34", "40", "6")


def test_formulas_in_cells_are_text(season):
    row = next(line for line in csv_of(season, "results").decode().splitlines() if "=1+1" in line)
    assert '"\'=1+1"' in row
    assert rows_of(season, "results")[-1]["Notes"] == "=1+1", "as it was written, when read again"


@pytest.mark.parametrize("kind", KINDS)
def test_an_empty_team_has_headings(team, kind):
    table = KINDS[kind].table(team)
    assert table.headings
    assert not table.rows


QUERIES = {"contests": 1, "results": 1, "sheets": 4, "criteria": 2, "fields": 1, "changes": 3,
           "payments": 1, "todos": 1, "items": 3}  # fmt: skip


@pytest.mark.parametrize("many", [1, 3])
def test_queries_do_not_grow(team, many, django_assert_num_queries):
    for n in range(many):
        entry = scored_entry(EntryFactory(contest=contest_of(team, name=f"Fire {n}")), FIVE[:2])
        contest = entry.contest
        PostingFactory(contest=contest, category=entry.category, rows=[(1, "Pit Row", "219.25")])
        PaymentFactory(contest=contest)
        TaskFactory(contest=contest)
        ChangeUse.objects.create(change=ChangeFactory(team=team), contest=contest, on=True)
        KitLineFactory(kit__team=team, item__team=team)
    assert set(QUERIES) == set(KINDS)
    for kind, queries in QUERIES.items():
        with django_assert_num_queries(queries):
            assert len(KINDS[kind].table(team).rows) >= many


def test_another_teams_rows_stay_theirs(team, season, stranger):
    scored_entry(EntryFactory(contest=contest_of(stranger.team, name="Their Fire")), FIVE)
    assert ScoreSheet.objects.for_team(stranger.team).exists()
    assert b"Their Fire" not in csv_of(season, "sheets")


def test_downloads_are_files(client, season, reader):
    client.force_login(reader.user)
    answer = client.get(url("export_csv", season, "sheets"))
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert "score-sheets.csv" in answer["Content-Disposition"]
    assert answer.content == csv_of(season, "sheets")
    answer = client.get(url("export_xlsx", season))
    assert "everything.xlsx" in answer["Content-Disposition"]
    assert answer.content.startswith(b"PK")
    assert client.get(url("export_csv", season, "nonsense")).status_code == 404
