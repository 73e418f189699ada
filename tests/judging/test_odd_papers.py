"""Odd papers of an envelope: each is stored as it is, flagged in words, and its total explained."""

import io
import json
import subprocess
from decimal import Decimal
from pathlib import Path
from uuid import uuid4

import playwright
import pytest
from django.urls import reverse
from pypdf import PdfReader

from teamops.contests.models import Entry
from teamops.judging import queries
from teamops.judging.actions import TypedSheet, follow_entry, record_scores, rescore, store_results
from teamops.judging.models import Mark, Result, ScoreSheet
from teamops.judging.paper import PaperMark, read_paper, said_words
from teamops.rules.models import Rulebook
from tests.factories.contests import EntryFactory
from tests.factories.judging import scored_entry
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.factories.teams import UserFactory
from tests.judging.pages import FIVE, sent, url_of
from tests.judging.paper_cells import CELLS

pytestmark = pytest.mark.django_db
SCRIPT = Path(__file__).resolve().parents[2] / "static/js/paper.js"
NODE = Path(playwright.__file__).parent / "driver" / "node"  # it brings one along


@pytest.fixture
def entry(team) -> Entry:
    return EntryFactory(contest__team=team, contest__past=True)


def seen(entry: Entry) -> queries.Envelope:
    return queries.envelope(Entry.objects.select_related("rulebook").get(pk=entry.pk))


def explained(entry: Entry) -> Decimal | None:
    """The last sum that the steps come to, less what is taken off after it."""
    steps = seen(entry).steps
    return [step.points for step in steps if step.is_sum and step.counts][-1]


def says(entry: Entry) -> str:
    """Everything that is said about the papers."""
    envelope = seen(entry)
    return " ".join([*envelope.says, *(words for line in envelope.sheets for words in line.says)])


@pytest.mark.parametrize(("text", "points", "said"), CELLS)
def test_a_box_is_read_as_one_mark_or_kept_in_its_own_words(text, points, said):
    assert read_paper(text) == PaperMark(None if points is None else Decimal(points), said)


def test_the_script_reads_the_same_boxes_the_same_way():
    program = f"""
      {SCRIPT.read_text()}
      const told = ({{ points, said }}) => [points === null ? null : paper.write(points), said];
      const cells = {json.dumps([text for text, _, _ in CELLS])};
      console.log(JSON.stringify(cells.map((text) => told(paper.cell(text)))));
    """
    ran = subprocess.run([NODE, "-e", program], capture_output=True, text=True, check=True)
    assert [tuple(pair) for pair in json.loads(ran.stdout)] == [cell[1:] for cell in CELLS]


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("8+", "Taste: the paper says “8+”, read as 8."),
        ("O", "Taste: the paper says “O”, read as 0."),
        ("8/9", "two values, ask which one holds. Counted as blank till then."),
        ("DNT", "Taste: the paper says “DNT” (did not turn in): no mark, counted as blank."),
        ("-", "Taste: the paper says “-”: no mark, counted as blank."),
        ("-3", "less than nothing: ask."),
        ("8.1234", "too long for a mark."),
        ("?", "which is no number: ask."),
        ("8", ""),
    ],
)
def test_what_a_box_says_is_told_in_words(said, words):
    assert words in said_words("Taste", read_paper(said))


@pytest.mark.parametrize(
    ("cell", "points", "said", "total"),
    [
        ("", None, "", 207),
        ("8.75", "8.75", "", "215.75"),
        ("0", "0", "", 207),
        ("11", "11", "", 218),
        ("9½", "9.5", "", "216.5"),
        ("9,5", "9.5", "", "216.5"),
        ("8+", "8", "8+", 215),
        ("8-", "8", "8-", 215),
        ("O", "0", "O", 207),
        ("DNT", None, "DNT", 207),
        ("8/9", None, "8/9", 207),
        ("8 9", None, "8 9", 207),
        ("?", None, "?", 207),
        ("-1", None, "-1", 207),
    ],
)
def test_an_odd_box_is_kept_shown_and_added_up(signed_in, entry, cell, points, said, total):
    table = [["9", cell, *FIVE[0][2:]], *FIVE[1:]]
    page = signed_in.post(url_of(entry), sent(entry, table), follow=True)
    mark = Mark.objects.get(sheet__position=1, criterion__key="doneness")
    assert (mark.points, mark.said) == (None if points is None else Decimal(points), said)
    assert page.context["result"].total == Decimal(total) == explained(entry)
    shown = page.context["sheets"].forms[0].cells[1][1].value()
    assert shown == (said or (points or ""))
    if said:
        assert f"Judge 1: Doneness: the paper says “{said}”" in page.text
        assert "left doneness blank" not in page.text
        assert Mark.history.filter(said=said).exists()
    assert list(rescore(check=True)) == []


def test_saving_the_page_again_changes_no_odd_box(signed_in, entry):
    table = [["8+", "8/9", "O", "DNT", "9½"], *FIVE[1:]]
    page = signed_in.post(url_of(entry), sent(entry, table), follow=True)
    data = sent(entry, [[str(f.value() or "") for _, f in form.cells] for form in
                        page.context["sheets"].forms], seen=1)  # fmt: skip
    for index, form in enumerate(page.context["sheets"].forms):
        data[f"sheets-{index}-id"] = form["id"].value()
    signed_in.post(url_of(entry), data)
    assert not Mark.history.filter(history_type="~").exists()
    assert Result.objects.get(entry=entry).version == 2


def test_a_sheet_of_words_only_is_a_sheet(signed_in, entry):
    page = signed_in.post(url_of(entry), sent(entry, [["DNT"] * 5]), follow=True)
    assert [mark.said for mark in Mark.objects.all()] == ["DNT"] * 5
    assert page.context["result"].basis == Result.Basis.NONE
    assert "did not turn in" in page.text
    assert list(rescore(check=True)) == []


def test_six_judges_at_a_table_for_five_and_four(signed_in, entry):
    six = scored_entry(entry, [*FIVE, FIVE[0]])
    assert six.result.total == explained(six) == 259
    assert "Six sheets where five are expected; all of them are used." in says(six)
    four = scored_entry(EntryFactory(contest=entry.contest), FIVE[:4])
    assert four.result.total == explained(four) == 170
    assert "Four sheets where five are expected." in says(four)


def test_a_missing_sheet_that_is_averaged_is_a_line_of_the_way(team):
    book = RulebookFactory(
        missing_sheet="average_remaining", drop_scope="sheet", drop_low=1, sheets_expected=4
    )
    entry = scored_entry(
        EntryFactory(contest__team=team, rulebook=book), [[9] * 5, [8] * 5, [7] * 5]
    )
    words = [step.words for step in seen(entry).steps]
    assert "The average of the others, for a missing sheet" in words
    assert "Judge 3: does not count, lowest, dropped" in words
    assert explained(entry) == entry.result.total == 125


def test_a_posted_total_that_is_not_the_sum(entry):
    entry = scored_entry(entry, FIVE, official_total=Decimal(213))
    assert seen(entry).posted_words == "Our sum 215, posted 213: 2 short."
    assert entry.result.total == 215


def in_rounds(entry: Entry, *tables: tuple[str, list[list[int]]]) -> Result:
    keys = list(entry.rulebook.criteria.values_list("pk", flat=True))
    sheets = [
        TypedSheet(uuid4(), dict(zip(keys, map(Decimal, row), strict=False)), round=name)
        for name, table in tables
        for row in table
    ]
    return record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=UserFactory())


NINES, EIGHTS = [[9] * 5] * 5, [[8] * 5] * 3


def test_a_final_with_new_judges_decides_alone(team):
    entry = EntryFactory(contest__team=team)
    result = in_rounds(entry, ("", NINES), ("Final", EIGHTS))
    assert (result.round, result.total, result.most, result.sheets) == ("Final", 120, 150, 3)
    lines = list(result.criteria.all())
    assert sum(line.lost for line in lines) == result.most - result.total
    assert {line.judges for line in lines} == {8}  # means are over every round
    assert {line.mean for line in lines} == {Decimal("8.625")}
    assert seen(entry).rounds == ("First round: 225 of 250", "Final: 120 of 150, which decides")
    assert explained(entry) == 120
    assert "Final: Three sheets where five are expected." in says(entry)
    assert [line.label for line in seen(entry).sheets][4:6] == ["judge 5", "judge 1 (Final)"]
    assert list(rescore(check=True)) == []


def test_rounds_that_are_added_up(team):
    entry = EntryFactory(contest__team=team, rulebook=RulebookFactory(rounds=Rulebook.Rounds.ADD))
    result = in_rounds(entry, ("", NINES), ("Final", EIGHTS))
    assert (result.round, result.total, result.most, result.sheets) == ("all rounds", 345, 400, 8)
    assert sum(line.lost for line in result.criteria.all()) == 55
    assert seen(entry).steps[-1].words == "The rounds added up"
    assert explained(entry) == 345
    assert list(rescore(check=True)) == []


def test_a_final_that_was_only_opened_decides_nothing(team):
    entry = EntryFactory(contest__team=team)
    sheets = [TypedSheet(uuid4(), comment="no box of ours", round="Final")]
    keys = list(entry.rulebook.criteria.values_list("pk", flat=True))
    sheets.insert(0, TypedSheet(uuid4(), dict.fromkeys(keys, Decimal(9))))
    result = record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=UserFactory())
    assert (result.total, result.round) == (45, "")


def test_a_round_is_added_by_one_press_typed_and_read_back(signed_in, entry):
    page = signed_in.post(url_of(entry), sent(entry, FIVE, add_round="1"))
    assert page.status_code == 200
    assert [grid.round for grid in page.context["board"].grids] == [0, 1]
    assert 'value="Final"' in page.text
    data = sent(entry, [*FIVE, ["8"] * 5, ["8"] * 5], rounds="2", table="B")
    data |= {"rounds-0-name": "", "rounds-1-name": "Final", "rounds-1-table": "1"}
    data |= {"sheets-5-round": "1", "sheets-6-round": "1", "sheets-6-co_judged": "on"}
    page = signed_in.post(url_of(entry), data, follow=True)
    assert "our total is 80" in page.text
    stored = ScoreSheet.objects.values_list("round", "table", "co_judged")
    assert list(stored)[4:] == [("", "B", False), ("Final", "1", False), ("Final", "1", True)]
    grids = page.context["board"].grids
    assert [len(grid.rows) for grid in grids] == [5, 2]
    assert [row.form.number for row in grids[1].rows] == ["1", "2"]
    assert grids[0].columns[0].mean == Decimal("9.3")


def test_two_rounds_of_one_name_are_told_apart_or_refused(signed_in, entry):
    data = sent(entry, FIVE, rounds="2") | {"sheets-4-round": "1", "rounds-1-name": ""}
    page = signed_in.post(url_of(entry), data)
    assert page.status_code == 422
    assert "Two rounds are called the same." in page.text
    assert not ScoreSheet.objects.exists()


def test_panels_of_different_size_get_their_own_rows(signed_in, team):
    panels = [
        {"name": "blind", "expected": 4, "least": 3},
        {"name": "on site", "expected": 3, "least": 1},
    ]
    book = RulebookFactory(criteria=0, panels=panels)
    CriterionFactory(rulebook=book, order=1, panel="blind")
    CriterionFactory(rulebook=book, order=2, panel="on site")
    entry = EntryFactory(contest__team=team, rulebook=book)
    grids = signed_in.get(url_of(entry)).context["board"].grids
    assert [(grid.panel, len(grid.rows)) for grid in grids] == [("blind", 4), ("on site", 3)]


def test_an_open_scale_is_typed_added_up_and_never_off(signed_in, team):
    book = RulebookFactory(criteria=0, sheets_expected=2)
    CriterionFactory(rulebook=book, order=1, least=None, most=None, step=None, name="Looks")
    CriterionFactory(rulebook=book, order=2, least=0, most=None, step=None, name="Smoke")
    entry = EntryFactory(contest__team=team, rulebook=book)
    page = signed_in.post(url_of(entry), sent(entry, [["120", "3"], ["99.5", "4"]]), follow=True)
    assert "our total is 226.5" in page.text
    assert 'data-least="" data-most=""' in page.text
    assert "off the scale" not in says(entry)
    assert explained(entry) == Decimal("226.5")


def given(entry: Entry, totals: list[str], **official: str) -> dict[str, str]:
    keys = entry.rulebook.criteria.values_list("pk", flat=True)
    fields = {f"given-t{key}": text for key, text in zip(keys, totals, strict=True)}
    return sent(entry, [], **official) | fields


def test_only_a_total_for_each_criterion(signed_in, entry):
    data = given(entry, ["46", "40.5", "42", "44", "45"])
    page = signed_in.post(url_of(entry), data, follow=True)
    result = Result.objects.get(entry=entry)
    assert (result.basis, result.total, result.most) == ("criteria", Decimal("217.5"), 250)
    assert [line.lost for line in result.criteria.all()] == [4, Decimal("9.5"), 8, 6, 5]
    assert "Saved: our total is 217.5." in page.text
    assert "worked out from five judges whose marks count" in says(entry)
    assert explained(entry) == Decimal("217.5")
    assert list(rescore(check=True)) == []
    signed_in.post(url_of(entry), given(entry, ["46", "", "42", "44", "45"]) | {"seen": 1})
    result.refresh_from_db()
    assert (result.total, result.most) == (177, None)
    assert "No total was given for Doneness" in says(entry)


def test_criterion_totals_of_plain_marks_are_known_by_the_posted_total(signed_in, team):
    book = RulebookFactory(criteria=0, sheets_expected=2)
    for order, weight in enumerate(("2", "0.5"), start=1):
        CriterionFactory(rulebook=book, order=order, weight=weight)
    entry = EntryFactory(contest__team=team, rulebook=book)
    signed_in.post(url_of(entry), given(entry, ["18", "16"], official_total="44"), follow=True)
    result = Result.objects.get(entry=entry)
    assert (result.total, result.most) == (44, 50)
    assert "Read as plain sums of marks" in says(entry)


def test_criterion_totals_beyond_what_the_judges_can_give_lose_nothing(signed_in, entry):
    signed_in.post(url_of(entry), given(entry, ["56", "40", "42", "44", "45"]))
    result = Result.objects.get(entry=entry)
    assert (result.total, result.most) == (227, None)
    assert "Appearance 56 is more than 50" in " ".join(f["words"] for f in result.flags)


def outcome(entry: Entry, **columns: object) -> Result:
    Entry.objects.get(pk=entry.pk)
    row = Entry.objects.get(pk=entry.pk)
    for name, value in columns.items():
        setattr(row, name, value)
    row.save()
    follow_entry(Entry.objects.select_related("rulebook", "contest").get(pk=entry.pk))
    return Result.objects.get(entry=entry)


def losses(result: Result) -> Decimal:
    return sum((line.lost for line in result.criteria.all()), Decimal(0))


def test_a_late_box_that_is_docked(entry):
    scored_entry(entry, FIVE)
    result = outcome(entry, late="docked", late_points=Decimal(5))
    assert (result.total, result.docked, result.most) == (210, 5, 250)
    assert losses(result) + result.docked + result.lost_to_rounding == result.most - result.total
    assert "5 points are taken off for coming late: 210 are left." in says(entry)
    assert seen(entry).steps[-2].points == -5
    assert explained(entry) == 210
    assert list(rescore(check=True)) == []


def test_what_was_taken_off_has_its_own_line_in_the_account(signed_in, entry):
    scored_entry(entry, FIVE)
    outcome(entry, late="docked", late_points=Decimal(5))
    slug = entry.contest.team.slug
    page = signed_in.get(reverse("insight:show_entry", args=[slug, entry.pk])).text
    assert "Taken off for lateness" in page
    assert "250 less 40 lost is 210." in page
    paper = signed_in.get(reverse("insight:print_entry", args=[slug, entry.pk])).content
    assert "Taken off for lateness" in PdfReader(io.BytesIO(paper)).pages[0].extract_text()


def test_totals_by_criterion_have_an_account_too(signed_in, entry):
    signed_in.post(url_of(entry), given(entry, ["46", "40.5", "42", "44", "45"]))
    url = reverse("insight:show_entry", args=[entry.contest.team.slug, entry.pk])
    page = signed_in.get(url).text
    assert "The papers give a total for each criterion and no judge’s marks." in page
    assert "No papers yet." not in page
    assert "250 less 32.5 lost is 217.5." in page


def test_points_that_nobody_noted_come_from_the_rulebook_or_are_asked_for(entry):
    scored_entry(entry, FIVE)
    assert outcome(entry, late="docked").docked == 0
    assert "nobody has noted by how much" in says(entry)
    book = entry.rulebook
    book.late, book.late_points = Rulebook.Late.DOCKED, Decimal(10)
    book.save()
    assert outcome(entry, late="docked").docked == 10


def test_a_late_box_that_counts_as_zero(entry):
    scored_entry(entry, FIVE)
    result = outcome(entry, late="zero")
    assert (result.total, result.docked) == (0, 215)
    assert losses(result) + result.docked == result.most


@pytest.mark.parametrize(
    "columns", [{"late": "out"}, {"state": "not_judged"}, {"state": "dropped"}]
)
def test_a_box_that_is_not_judged_has_no_total_and_keeps_its_sheets(entry, columns):
    scored_entry(entry, FIVE)
    result = outcome(entry, **columns)
    assert (result.total, result.docked, result.sheets) == (None, 0, 5)
    assert {line.lost for line in result.criteria.all()} == {None}
    assert entry.sheets.count() == 5
    assert "no total" in says(entry)
    assert list(rescore(check=True)) == []


def test_disqualified_after_sheets_exist_then_overturned(entry):
    scored_entry(entry, FIVE)
    result = outcome(entry, disqualified=True, disqualified_why="a pick in the box")
    assert (result.total, result.docked) == (215, 0)
    assert "The box is disqualified: the sum is for our own eyes." in says(entry)
    outcome(entry, disqualified=False, overturned_why="it was another box")
    assert "disqualified" not in says(entry)
    assert store_results(Entry.objects.get(pk=entry.pk)) == []
