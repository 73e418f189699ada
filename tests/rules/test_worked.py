"""The published worked totals, through rulebooks as they are stored."""

from decimal import Decimal

import pytest

from teamops.calc.scoring import Contender, PlaceMethod, Sheet, rank, score
from teamops.rules.models import Rulebook
from teamops.rules.queries import rulebook_page
from teamops.rules.records import rules_of
from tests.calc.worked import Worked, read, worked
from tests.rules.published import SCHEMES, stored


def cases() -> list:
    """Each worked total with its own source beside it."""
    rules = {w["example_id"]: w for w in read("scoring-worked-totals.csv")}
    found = []
    for case in worked():
        row = rules[case.example]
        printed = "published" if row["status"].startswith("published") else "computed"
        source = SCHEMES[row["rule_id"]]["source"]
        mark = pytest.mark.outside(f"{printed}: {source}; {row['status']}")
        rule = (row["rule_id"], row["factor"])
        found.append(pytest.param(case, *rule, id=f"{case.example}-{case.entry}", marks=mark))
    return found


def reread(rulebook: Rulebook) -> Rulebook:
    """As the database gives it back, with its own decimals."""
    return Rulebook.objects.get(pk=rulebook.pk)


@pytest.mark.parametrize(("case", "rule_id", "factor"), cases())
def test_worked_totals_through_stored_rulebooks(db, case: Worked, rule_id: str, factor: str):
    """Every total to the last digit given; only one is printed rounded (38.333333)."""
    rules = rules_of(reread(stored(rule_id, len(case.sheets), factor)))
    result = score(case.sheets, rules)
    assert round(result.total, 6) == case.total
    if case.example != "beer_mean":
        assert result.total == case.total
    if case.sheet_totals:
        assert [sheet.total for sheet in result.sheets] == case.sheet_totals


def test_all_thirty_totals_are_there():
    assert len(cases()) == 30


@pytest.mark.parametrize(
    "rule_id",
    [
        pytest.param(rule_id, marks=pytest.mark.outside(f"published: {row['source']}"))
        for rule_id, row in SCHEMES.items()
    ],
)
def test_each_published_scheme_is_stored_and_shown(db, rule_id):
    rulebook = reread(stored(rule_id, sheets=5))
    rules = rules_of(rulebook)
    assert [c.key for c in rules.criteria] == [row.key for row in rulebook.criteria.all()]
    page = rulebook_page(rulebook)
    assert page.total
    assert page.example is not None
    assert all(line.total for table in page.example.panels for line in table.lines)


@pytest.mark.outside(
    "published: extraordinarybbq.com competition scoring article 2012: whole marks 6-10, "
    "overall impression in tenths; 4 blind and 3 on-site judges (weights not seen)"
)
def test_steps_and_panels_are_each_criterions_own(db):
    rules = rules_of(reread(stored("bbq_network")))
    steps = {criterion.key: criterion.step for criterion in rules.criteria}
    assert steps["tenderness"] == 1
    assert steps["overall_impression"] == Decimal("0.1")
    assert [rules.panel_sheets(panel)[0] for panel in rules.panel_keys] == [4, 3]


@pytest.mark.outside(
    "published: Kansas City Barbeque Society judging procedures 2004: ties by taste, tenderness, "
    "appearance, the dropped sheet, a draw; computed: 2004 weights, tenderness 45 against 40"
)
def test_a_stored_chain_decides_the_published_tie(db):
    rules = rules_of(reread(stored("bbq_2004", 6)))
    pair = [case for case in worked() if case.example == "bbq_2004_pair"]
    results = [score(case.sheets, rules) for case in pair]
    boxes = [Contender(c.entry, r.total, r) for c, r in zip(pair, results, strict=True)]
    first, second = rank(boxes, rules)
    assert (first.label, second.label) == ("B", "A")
    assert first.decided_by == "sum:tenderness:kept"


@pytest.mark.outside("published: liquidasset.com report 106: printed placings 2= 4 2= 1")
@pytest.mark.parametrize(("method", "last"), [("skip", 4), ("dense", 3)])
def test_places_after_a_shared_one(db, method, last):
    rulebook = stored("rank_sum", 4)
    rulebook.place_method = method
    rules = rules_of(rulebook)
    assert rules.place_method is PlaceMethod(method)
    entries = [case for case in worked() if case.example == "rank_106"]
    results = [score(case.sheets, rules) for case in entries]
    boxes = [Contender(c.entry, r.total, r) for c, r in zip(entries, results, strict=True)]
    assert [place.place for place in rank(boxes, rules)] == [1, 2, 2, last]


def test_an_open_scale_is_shown_and_flags_nothing(db):
    rulebook = reread(stored("rope_panel", 2))
    page = rulebook_page(rulebook)
    assert page.rows[0].scale == "any mark"
    assert page.full_box == "no end: a highest mark is not set"
    result = score([Sheet("judge 1", {"score": Decimal("-3.25")})], rules_of(rulebook))
    assert result.total == Decimal("-3.25")
    assert not [flag for flag in result.flags if flag.criterion]
