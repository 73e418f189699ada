"""Points lost: exact at one contest, averaged, and usual with its doubts."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from scipy.stats import chi2

from teamops.calc.ledger import (
    UsualLine,
    UsualLosses,
    Verdict,
    average_losses,
    entry_ledger,
    usual_losses,
    usual_sentence,
)
from teamops.calc.ledger.quantiles import chi_square_nodes
from teamops.calc.ledger.usual import _grid, keep_factor
from teamops.calc.scoring import Criterion, Sheet, exact_sum, score
from tests.calc.test_scoring_totals import FULL, STEAK, table
from tests.calc.worked import example, read

KEYS = ("k1", "k2", "k3", "k4", "k5")
CRITERIA = [Criterion(key, key, Decimal(1), Decimal(1), Decimal(10)) for key in KEYS]


def contests(dataset, changed=None):
    """The invented sheets, one table of marks a contest."""
    tables: dict[str, dict[str, list[float]]] = {}
    for row in read("scoring-marks-data.csv"):
        if row["dataset"] == dataset and changed in (None, row["changed"]):
            table = tables.setdefault(row["event"], {})
            table.setdefault(row["judge"], []).append(float(row["mark"]))
    return [np.array(list(table.values())) for table in tables.values()]


def expected(dataset, quantity):
    """The expected numbers and their tolerance."""
    for row in read("scoring-marks-expected.csv"):
        if (row["dataset"], row["quantity"]) == (dataset, quantity):
            return [float(word) for word in row["value"].split()], float(row["tolerance"])
    raise KeyError(quantity)


def usual(tables, criteria=CRITERIA, sheets=5, draws=100_000, start=1):
    return usual_losses(tables, criteria, sheets, np.random.default_rng(start), draws)


# One contest, exactly


@pytest.mark.outside(
    "computed under 2013 barbecue weights: scoring-decomposition-expected.csv, "
    "points_lost_kept_sheets"
)
def test_points_lost_at_one_contest():
    rows = read("scoring-decomposition-expected.csv")
    shares = next(r for r in rows if r["example"] == "points_lost_kept_sheets")["expected_share"]
    case = example("bbq_2013_mixed")
    ledger = entry_ledger(score(case.sheets, case.rules))
    assert [line.lost for line in ledger.lines] == [Decimal(word) for word in shares.split()]
    assert (ledger.total, ledger.most, ledger.lost) == (
        Decimal("167.44"),
        180,
        Decimal("12.56"),
    )
    assert ledger.costliest.key == "taste"
    assert round(ledger.costliest.share, 4) == Decimal("0.5487")


def test_a_ledgers_lines_add_up():
    case = example("bbq_2013_five_sheets")
    ledger = entry_ledger(score(case.sheets, case.rules))
    assert exact_sum(line.lost for line in ledger.lines) == ledger.lost
    assert abs(1 - exact_sum(line.share for line in ledger.lines)) < Decimal("1e-23")
    assert ledger.lines[0].kept_marks[-1] == Decimal("8.4")


def test_a_ledger_that_does_not_add_up_is_never_shown():
    result = score(table(*FULL), STEAK)
    with pytest.raises(ArithmeticError):
        entry_ledger(replace(result, total=result.total + 1))


def test_a_perfect_box_has_no_costliest():
    ledger = entry_ledger(score(table(*["10 10 10 10 10"] * 5), STEAK))
    assert ledger.costliest is None
    assert [line.share for line in ledger.lines] == [None] * 5


def test_a_ledger_says_why_it_cannot_tell():
    ledger = entry_ledger(score(table("9 8 - 8 8", *FULL[1:]), STEAK))
    assert ledger.why_not == "Marks are missing on the sheet of judge 1."
    assert [line.lost for line in ledger.lines] == [None] * 5
    assert ledger.lines[0].kept_marks == (9, 9, 9, 9, 9)


# Averages


def test_two_boxes_at_one_contest_weigh_like_one():
    poor, fair, good = (
        score(table(*[row] * 5), STEAK) for row in ("6 6 6 6 6", *FULL[:1], "9 9 9 9 9")
    )
    average = average_losses([("spring", poor), ("spring", good), ("summer", fair)])
    assert (average.contests, average.entries, average.left_out) == (2, 3, 0)
    assert average.lost == Decimal((100 + 25) / 2 + 45) / 2
    assert {line.key: line.lost for line in average.lines}["appearance"] == Decimal("8.75")
    assert exact_sum(line.lost for line in average.lines) == average.lost
    assert average.most == 250


def test_entries_without_losses_are_left_out_and_counted():
    average = average_losses([("spring", score([], STEAK)), ("summer", score(table(*FULL), STEAK))])
    assert (average.contests, average.entries, average.left_out) == (1, 1, 1)
    assert average_losses([]).lines == ()


# Usually


@pytest.mark.outside("computed: scoring-marks-expected.csv, balanced_5, points lost; grid 41 x 12")
def test_usual_losses_match_the_check_set():
    found = usual(contests("balanced_5"), draws=400_000)
    for quantity, values in {
        "keep factor for criterion means": [found.keep],
        "raw points lost k1..k5": [line.average for line in found.lines],
        "shrunken points lost k1..k5": [line.likely for line in found.lines],
        "80% interval of points lost k4": [found.line("k4").low, found.line("k4").high],
    }.items():
        numbers, tolerance = expected("balanced_5", quantity)
        assert values == pytest.approx(numbers, abs=tolerance), quantity
    assert (found.verdict, found.leader, found.contests) == (Verdict.UNCLEAR, "k4", 5)


@pytest.mark.outside("computed: scoring-marks-expected.csv, balanced_5, probability most costly")
def test_chances_match_the_check_set_but_for_its_ties():
    """With no spread between criteria all tie; the check set gave those draws to the first one.

    We share them, so that the order of criteria does not matter. Giving them to k1 again must
    bring back the check set's numbers.
    """
    tables = contests("balanced_5")
    means = np.array([table.mean(axis=0) for table in tables])
    deviations = means.mean(axis=0) - means.mean()
    (mean_square,), _ = expected("balanced_5", "MS event x criterion (16 df, change ignored)")
    weight, keep, _ = _grid(deviations, mean_square / 25, 16, 0.5)
    tied = weight[keep == 0].sum()
    assert 0.04 < tied < 0.06
    chances = np.array([line.chance for line in usual(tables, draws=400_000).lines]) - tied / 5
    chances[0] += tied
    numbers, tolerance = expected("balanced_5", "probability most costly k1..k5")
    assert chances == pytest.approx(numbers, abs=tolerance)


def test_the_order_of_criteria_does_not_matter():
    tables = contests("balanced_5")
    turned = usual([table[:, ::-1] for table in tables], criteria=CRITERIA[::-1])
    for line in usual(tables).lines:
        other = turned.line(line.key)
        assert line.chance == pytest.approx(other.chance, abs=0.01)
        assert line.likely == pytest.approx(other.likely)


@pytest.mark.outside("computed: scoring-marks-expected.csv, keep factors for criterion deviations")
@pytest.mark.parametrize("dataset", ["balanced_5", "boundary_5", "unequal_12"])
def test_keep_factor_of_a_change(dataset):
    """The same grid on differences after less before, with unequal judges too."""
    sides = [np.array([t.mean(axis=0) for t in contests(dataset, side)]) for side in "01"]
    change = sides[1].mean(axis=0) - sides[0].mean(axis=0)
    rest = [side - side.mean(axis=1, keepdims=True) for side in sides]
    squares = sum(float(np.sum((r - r.mean(axis=0)) ** 2)) for r in rest)
    df = (len(sides[0]) + len(sides[1]) - 2) * 4
    k = 1 / len(sides[0]) + 1 / len(sides[1])
    keep = keep_factor(change - change.mean(), squares / df * k, df, 0.5)
    (number,), tolerance = expected(dataset, "keep factor for criterion deviations")
    assert keep == pytest.approx(number, abs=tolerance)


@pytest.mark.outside("computed: SciPy 1.17, chi2.ppf, to 10 digits")
@pytest.mark.parametrize("df", [1, 2, 3, 8, 16, 117, 500, 2000])
def test_chi_square_nodes(df):
    middles = (np.arange(12) + 0.5) / 12
    assert chi_square_nodes(df, 12) == pytest.approx(chi2.ppf(middles, df), rel=1e-10)


def test_chi_square_needs_a_degree_of_freedom():
    with pytest.raises(ValueError):
        chi_square_nodes(0, 12)


def season(rng, means, n_contests, judges=(5,), spread=0.3):
    """Invented marks in halves: a contest swing, a judge swing, and what is left."""
    tables = []
    for n in range(n_contests):
        n_judges = judges[n % len(judges)]
        marks = np.array(means) + rng.normal(0, 0.4) + rng.normal(0, 0.4, (n_judges, 1))
        marks = (
            marks + rng.normal(0, 0.2, len(means)) + rng.normal(0, spread, (n_judges, len(means)))
        )
        tables.append(np.clip(np.round(marks * 2) / 2, 1, 10))
    return tables


def test_a_clear_weakness_is_named():
    """Doneness trails by a mark, at tables of four to six judges."""
    tables = season(np.random.default_rng(3), [8.9, 7.2, 8.3, 8.4, 8.2], 8, judges=(5, 4, 6))
    found = usual(tables)
    assert (found.verdict, found.leader) == (Verdict.NAMED, "k2")
    assert found.line("k2").chance >= 0.8
    assert usual_sentence(found).startswith("k2 usually costs most: about ")


def test_equal_criteria_are_hardly_ever_named():
    rng = np.random.default_rng(4)
    named = sum(
        usual(season(rng, [8.0] * 5, 5), draws=2000).verdict is Verdict.NAMED for _ in range(60)
    )
    assert named <= 4


def test_the_same_start_gives_the_same_answer():
    tables = contests("unequal_12")
    assert usual(tables) == usual(tables)
    assert sum(line.chance for line in usual(tables).lines) == pytest.approx(1)


def test_likely_losses_lie_between_the_average_and_the_common_mean():
    found = usual(contests("unequal_12"))
    middle = np.mean([line.average for line in found.lines])
    for line in found.lines:
        assert sorted([line.average, line.likely, middle])[1] == line.likely
        assert line.low < line.likely < line.high


def test_other_scales_are_compared_by_their_width():
    """The same marks written from 0 to 90 lose ten times the points, by the same chances."""
    tables = contests("balanced_5")
    wide = [Criterion(key, key, Decimal(1), Decimal(0), Decimal(90)) for key in KEYS]
    one, ten = usual(tables), usual([(t - 1) * 10 for t in tables], criteria=wide)
    assert [line.chance for line in one.lines] == [line.chance for line in ten.lines]
    assert [line.likely * 10 for line in one.lines] == pytest.approx(
        [line.likely for line in ten.lines]
    )


def test_a_heavier_weight_costs_more():
    heavy = [replace(CRITERIA[0], weight=Decimal(3)), *CRITERIA[1:]]
    assert usual(contests("balanced_5"), criteria=heavy).leader == "k1"


def test_blank_marks_and_contests_without_a_criterion():
    tables = contests("balanced_5")
    tables[0][0, 2] = np.nan
    assert usual(tables).contests == 5
    tables[0][:, 2] = np.nan
    assert usual(tables).contests == 4


def test_contests_that_agree_to_the_digit():
    found = usual([np.tile([9.0, 8, 9, 9, 9], (5, 1))] * 4)
    assert (found.verdict, found.leader) == (Verdict.NAMED, "k2")
    perfect = usual([np.full((5, 5), 10.0)] * 4)
    assert perfect.verdict is Verdict.UNCLEAR


@pytest.mark.parametrize("number", [0, 1, 2])
def test_fewer_than_three_contests_rank_nothing(number):
    found = usual(contests("balanced_5")[:number])
    assert (found.verdict, found.leader, found.keep) == (Verdict.TOO_FEW, None, None)
    assert all(line.chance is None for line in found.lines)
    assert len(found.lines) == (5 if number else 0)


def test_a_single_criterion_has_no_rival():
    found = usual([t[:, :1] for t in contests("balanced_5")], criteria=CRITERIA[:1])
    assert found.verdict is Verdict.SINGLE
    assert usual_sentence(found) == "Only k1 is marked, so all points are lost there."


def test_what_cannot_be_ranked_is_refused():
    tables = contests("balanced_5")
    with pytest.raises(ValueError, match="columns"):
        usual([t[:, :4] for t in tables])
    with pytest.raises(ValueError, match="least"):
        usual(tables, criteria=[replace(CRITERIA[0], most=None), *CRITERIA[1:]])
    with pytest.raises(ValueError, match="draws"):
        usual(tables, draws=10)


# In words


def doubtful(*chances, verdict=Verdict.UNCLEAR, number=5):
    names = ("Texture", "Taste", "Looks")
    lines = [
        UsualLine(name.lower(), name, 9.0, 10.52, 8.83, 12.27, chance)
        for name, chance in zip(names, chances, strict=False)
    ]
    return UsualLosses(verdict, number, tuple(lines), 0.5, "texture")


@pytest.mark.parametrize(
    ("found", "sentence"),
    [
        (doubtful(0.68, 0.3), "Probably texture (68 % likely), but five contests are few."),
        (
            doubtful(0.62, 0.3, number=12),
            "Probably texture (62 % likely), but 12 contests do not settle it.",
        ),
        (
            doubtful(0.4, 0.25, 0.35),
            (
                "No criterion stands out: texture (40 % likely) and looks (35 % likely) come "
                "first, but five contests are few."
            ),
        ),
        (
            doubtful(0.999, 0.001, verdict=Verdict.NAMED),
            (
                "Texture usually costs most: about 10.5 points a box (8 in 10 sure it is 8.8 to "
                "12.3), 99 % likely the costliest over five contests."
            ),
        ),
        (
            UsualLosses(Verdict.TOO_FEW, 1, ()),
            "One contest is too few to tell which criterion usually costs most.",
        ),
        (
            UsualLosses(Verdict.TOO_FEW, 2, ()),
            "Two contests are too few to tell which criterion usually costs most.",
        ),
        (
            UsualLosses(Verdict.TOO_FEW, 0, ()),
            "No contest has its marks in yet.",
        ),
    ],
)
def test_one_sentence(found, sentence):
    assert usual_sentence(found) == sentence


def test_sheets_of_one_table_go_into_both():
    """The ledger and the usual losses agree on a plain average where nothing is dropped."""
    tables = contests("balanced_5")
    criteria = tuple(CRITERIA)
    rules = replace(STEAK, criteria=criteria, tie_break=())
    entries = []
    for n, marks in enumerate(tables):
        sheets = [
            Sheet(f"judge {j}", {k: Decimal(str(m)) for k, m in zip(KEYS, row, strict=True)})
            for j, row in enumerate(marks, start=1)
        ]
        entries.append((f"contest {n}", score(sheets, rules)))
    average = [float(line.lost) for line in average_losses(entries).lines]
    assert average == pytest.approx([line.average for line in usual(tables).lines])
