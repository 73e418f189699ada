"""Late boxes, several rounds, and the steps of a tie shown one by one."""

from dataclasses import replace
from decimal import Decimal

import pytest

from teamops.calc.scoring import (
    Aggregate,
    Contender,
    Criterion,
    EntryStatus,
    Lateness,
    LateRule,
    Rounds,
    Rules,
    Sheet,
    late_outcome,
    rank,
    round_total,
    score,
    show_tie,
    tie_steps,
)
from tests.calc.worked import example, worked

RULES = Rules(
    criteria=tuple(
        Criterion(key, key.capitalize(), Decimal(1), Decimal(1), Decimal(10), Decimal(1))
        for key in ("taste", "looks")
    ),
    sheets_expected=2,
    tie_break=("sum:taste:kept", "sum:looks:kept", "draw"),
)
DOCKED = Lateness(LateRule.DOCKED, grace_seconds=10, points=Decimal("2.5"))


@pytest.mark.outside("common practice, no source: a box 20 s late is taken, docked, zeroed or out")
@pytest.mark.parametrize(
    ("rule", "total", "words"),
    [
        (Lateness(LateRule.TAKEN), 40, "it is judged all the same"),
        (DOCKED, Decimal("37.5"), "it loses 2.5 points"),
        (Lateness(LateRule.ZERO), 0, "it counts as zero"),
        (Lateness(LateRule.OUT), None, "it is not judged"),
        (Lateness(), 40, "does not say what that costs"),
        (Lateness(LateRule.DOCKED), 40, "does not say how many"),
    ],
)
def test_twenty_seconds_late(rule, total, words):
    outcome = late_outcome(20, rule)
    assert outcome.total(Decimal(40)) == total
    assert words in outcome.words
    assert outcome.total(None) is None


@pytest.mark.parametrize(("seconds", "off"), [(-5, 0), (0, 0), (1, 0), (10, 0), (11, "2.5")])
def test_grace_ends_after_its_last_second(seconds, off):
    assert late_outcome(seconds, DOCKED).points_off == Decimal(off)


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (1, "One second late; it counts as zero."),
        (60, "One minute late; it counts as zero."),
        (125, "Two minutes five seconds late; it counts as zero."),
    ],
)
def test_how_late_it_is_said(seconds, words):
    assert late_outcome(seconds, Lateness(LateRule.ZERO)).words == words


def test_a_docked_box_never_falls_below_zero():
    assert late_outcome(99, DOCKED).total(Decimal(2)) == 0


def test_a_late_box_is_ranked_by_its_outcome():
    boxes = [("a", 0), ("b", 20), ("c", 0)]
    rows = [
        Contender(name, Decimal(30), status=late_outcome(late, Lateness(LateRule.OUT)).status)
        for name, late in boxes
    ]
    places = {place.label: place.place for place in rank(rows, replace(RULES, tie_break=()))}
    assert places == {"a": 1, "c": 1, "b": None}
    assert late_outcome(20, Lateness(LateRule.ZERO)).status is EntryStatus.ZERO


def test_floats_and_points_below_zero_are_refused():
    with pytest.raises(TypeError, match="Decimal"):
        Lateness(LateRule.DOCKED, points=2.5)
    with pytest.raises(ValueError, match="0 or more"):
        Lateness(LateRule.DOCKED, points=Decimal(-1))
    with pytest.raises(ValueError, match="0 or more"):
        Lateness(grace_seconds=-1)


@pytest.mark.parametrize(
    ("totals", "last", "added"),
    [
        ([], None, None),
        (["40"], "40", "40"),
        (["40", "45.5"], "45.5", "85.5"),
        (["40", None], None, None),
        ([None, "41"], "41", None),
    ],
)
def test_several_rounds(totals, last, added):
    given = [None if text is None else Decimal(text) for text in totals]
    for rounds, wanted in ((Rounds.LAST, last), (Rounds.ADD, added)):
        assert round_total(given, rounds) == (None if wanted is None else Decimal(wanted))


@pytest.mark.outside("computed: 2004 weights, taste sums equal, tenderness 40 against 45")
def test_the_steps_of_a_published_tie_are_shown():
    pair = [case for case in worked() if case.example == "bbq_2004_pair"]
    results = [score(case.sheets, case.rules) for case in pair]
    boxes = [Contender(c.entry, r.total, r) for c, r in zip(pair, results, strict=True)]
    first, second = tie_steps(boxes, pair[0].rules)
    assert (first.step, first.parts) == ("sum:taste:kept", 1)
    assert (second.values, second.parts) == ((40, 45), 2)
    assert second.words == "Tenderness marks on the sheets that count: 40 and 45: that decides."


def test_a_step_that_is_not_known_ends_the_chain():
    steps = tie_steps([Contender("a", Decimal(9)), Contender("b", Decimal(9))], RULES)
    assert [step.parts for step in steps] == [0]
    assert steps[0].words == "Taste marks on the sheets that count: not known for all."


def test_a_shared_place_is_a_step_too():
    rules = replace(RULES, tie_break=("shared",))
    steps = tie_steps([Contender("a", Decimal(9)), Contender("b", Decimal(9))], rules)
    assert [step.words for step in steps] == ["The place is shared."]


@pytest.mark.parametrize("name", ["bbq_2004_mixed", "bbq_2013_mixed", "chili_42", "dive_66"])
def test_a_second_box_ties_and_the_chain_says_how(name):
    case = example(name)
    tie = show_tie(case.sheets, case.rules)
    assert tie.places[0].total == tie.places[1].total == case.total
    assert len(tie.steps) <= len(case.rules.tie_break)


def test_a_swap_of_marks_is_told_apart_by_the_first_step():
    sheets = [Sheet(f"judge {n}", {"taste": Decimal(8), "looks": Decimal(7)}) for n in (1, 2)]
    tie = show_tie(sheets, RULES)
    assert tie.differs == "judge 1 gave 9 for Taste and 6 for Looks"
    assert [step.parts for step in tie.steps] == [2]
    assert tie.places[0].label == "box B"


def test_one_mark_a_judge_goes_to_the_draw():
    rules = replace(RULES, criteria=RULES.criteria[:1], tie_break=("sum:taste:kept", "draw"))
    sheets = [Sheet(f"judge {n}", {"taste": Decimal(8)}) for n in (1, 2)]
    tie = show_tie(sheets, rules)
    assert tie.differs == "the same marks"
    assert [step.step for step in tie.steps] == ["sum:taste:kept", "draw"]


def test_no_total_no_tie():
    assert show_tie([], RULES) is None
    assert show_tie([], replace(RULES, aggregate=Aggregate.MEAN)) is None
