"""Beside a rival: where their points over ours came from, and their sheets as shown to us."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from teamops.calc.scoring import exact_sum
from teamops.insight.queries.placing.boxes import load_boxes
from teamops.insight.queries.rival import rival_page
from teamops.insight.queries.rival.gap import gap_by_sheets, our_side
from teamops.insight.queries.rival.lists import rivals_of
from teamops.judging.actions.rival import how_sheets_stand, keep_rival_sheets
from teamops.judging.models import FieldLine
from teamops.teams.versions import Conflict
from tests.factories.judging import PostingFactory
from tests.factories.rules import RulebookFactory
from tests.insight.conftest import TODAY
from tests.insight.pages import text_of
from tests.insight.test_placing import GOOD, post

KEYS = ("appearance", "doneness", "taste", "texture", "overall")


def typed(*tables):
    """Rows of marks a judge, as a line keeps them."""
    return [dict(zip(KEYS, map(str, row), strict=True)) for row in tables]


@pytest.fixture
def entry(cook_contest):
    """225 of 250, third of three."""
    entry = cook_contest(*GOOD)
    post(entry, [(1, "Ash", 230), (2, "Birch", 227)], place=3)
    return entry


def line_of(entry, name="Ash") -> FieldLine:
    return FieldLine.objects.filter(posting__contest=entry.contest, name=name).last()


def give(line, *tables):
    line.sheets = typed(*tables)
    line.save()


def test_sheets_share_the_gap_out(team, entry):
    """Half a mark more in taste is 2.5, a whole one in looks 5, half less in texture -2.5."""
    give(line_of(entry), *[(10, 9, 9.5, 8.5, 9)] * 5)
    page = rival_page(team, entry, line_of(entry).pk)
    assert page.sentence == (
        "Ash was 5 points ahead: 5 in appearance and 2.5 in taste; you were ahead by 2.5 in "
        "texture."
    )
    assert [row.share for row in page.rows] == ["+5", "0", "+2.5", "−2.5", "0"]
    assert [(row.ours, row.theirs) for row in page.rows][:2] == [("45", "50"), ("45", "45")]
    assert (page.sum_row.ours, page.sum_row.theirs, page.sum_row.share) == ("225", "230", "+5")
    assert page.totals == "Ash 230, you 225: 5 apart, Ash ahead."
    assert page.notes == ("Other judges marked them, so sheets are compared best with best.",)


def test_shares_add_up_under_a_drop_rule(team, cook_contest):
    """The lowest sheet goes on both sides; what adds up is the gap of the totals, to the digit."""
    book = RulebookFactory(drop_scope="sheet", drop_low=1, sheets_expected=3)
    entry = cook_contest(rulebook=book, table=[[8, 7, 8, 9, 9], [7, 8, 6, 9, 9], [9, 7, 8, 9, 9]])
    post(entry, [(1, "Ash", 90)], place=2)
    give(line_of(entry), (9, 9, 8, 9, 9), (8, 8, 9, 9, 8), (9, 8, 9, 10, 9))
    (box,) = load_boxes(team, [entry.pk])
    gap = gap_by_sheets(box, rivals_of(box), rivals_of(box).others[0], our_side(box))
    assert exact_sum(gap.shares.values()) == gap.theirs - gap.ours
    assert gap.ours == entry.result.total
    page = rival_page(team, entry, None)
    assert (page.sum_row.ours, page.sum_row.theirs) == ("83", "89")
    assert any("Ash’s numbers come to" in note for note in page.notes)


def test_the_same_table_is_compared_judge_by_judge(team, cook_contest):
    entry = cook_contest(*GOOD)
    at = {"table": "4"}
    post(entry, [(1, "Ash", 240), (2, "Birch", 227, at)], place=3)
    ours = FieldLine.objects.get(entry=entry)
    ours.table = "4"
    ours.save()
    give(line_of(entry, "Birch"), *[(9, 9, 9.4, 9, 9)] * 5)
    page = rival_page(team, entry, None)
    assert page.options[0][1] == "2nd, Birch, 227; at our table; sheets typed"
    assert page.notes == ("The same judges marked both, so sheets are compared judge by judge.",)


def test_lateness_is_a_line_of_its_own(team, entry):
    entry.late, entry.late_points, entry.official_total = "docked", Decimal(5), Decimal(220)
    entry.save()
    give(line_of(entry), *[(10, 9, 9, 9, 9)] * 5)
    page = rival_page(team, entry, line_of(entry).pk)
    assert page.rows[-1].name == "Taken off ours for lateness"
    assert (page.rows[-1].share, page.sum_row.ours, page.sum_row.share) == ("+5", "220", "+10")
    assert "5 in what your lateness cost" in page.sentence


def test_as_many_judges_as_ours(team, entry):
    give(line_of(entry), *[(9, 9, 9, 9, 9)] * 4)
    page = rival_page(team, entry, line_of(entry).pk)
    assert page.why == ("Their 4 sheets cannot be held against our 5: type as many as ours.")
    assert page.rows == ()


def test_posted_sums_are_plain_differences(team, cook_contest):
    """Sums of each criterion add up to the posted total, so they are points of it."""
    entry = cook_contest(*GOOD)
    parts = {"Appearance": "46", "Doneness": "44", "Taste": "47", "Texture": "45",
             "Overall impression": "45"}  # fmt: skip
    post(entry, [(1, "Ash", 227, {"parts": parts})], place=2)
    page = rival_page(team, entry, None)
    assert [row.share for row in page.rows] == ["+1", "−1", "+2", "0", "0"]
    assert page.sum_row.share == "+2"
    assert page.notes == ()
    assert not page.typed


def test_sums_of_plain_marks_are_weighted(team, cook_contest):
    book = RulebookFactory()
    taste = book.criteria.get(key="taste")
    taste.weight = Decimal(2)
    taste.save()
    entry = cook_contest(*GOOD, rulebook=book)  # 270
    parts = {"Appearance": "46", "Doneness": "44", "Taste": "47", "Texture": "45",
             "Overall impression": "45"}  # fmt: skip
    post(entry, [(1, "Ash", 274, {"parts": parts})], place=2)
    page = rival_page(team, entry, None)
    assert [row.share for row in page.rows] == ["+1", "−1", "+4", "0", "0"]


def test_sums_that_make_no_total_say_so(team, cook_contest):
    entry = cook_contest(*GOOD)
    parts = dict.fromkeys(("Appearance", "Doneness", "Taste", "Texture", "Overall impression"), "9")
    post(entry, [(1, "Ash", 227, {"parts": parts})], place=2)
    page = rival_page(team, entry, None)
    assert any("do not add up to its totals" in note for note in page.notes)


def test_totals_alone_ask_for_sheets(open_page, entry):
    page = text_of(open_page("show_rival", entry.pk))
    assert "Birch 227, you 225: 2 apart, Birch ahead." in page
    assert "The list tells no more than totals. Type their sheets below" in page
    assert 'name="m-4-overall"' in page


def test_a_corrected_list_keeps_the_sheets_typed_before(team, entry):
    give(line_of(entry), *[(10, 9, 9, 9, 9)] * 5)
    rows = [(1, "Ash", 230), (2, "Oak and Ash", 225, {"entry": entry})]
    PostingFactory(contest=entry.contest, category=entry.category, rows=rows,
                   posted_on=TODAY + timedelta(days=1))  # fmt: skip
    page = rival_page(team, entry, None)
    assert page.sentence == "Ash was 5 points ahead: 5 in appearance."


def test_without_a_list_the_page_says_so(open_page, cook_contest):
    bare = cook_contest(*GOOD)
    assert "No posted list with names is kept" in text_of(open_page("show_rival", bare.pk))
    assert "Against a rival" in text_of(open_page("show_entry", bare.pk))


def test_fewest_points_ahead(team, cook_contest):
    book = RulebookFactory(direction="low")
    entry = cook_contest(*GOOD, rulebook=book)
    post(entry, [(1, "Ash", 220)], place=2)
    give(line_of(entry), *[(8, 9, 9, 9, 9)] * 5)
    page = rival_page(team, entry, None)
    assert page.sentence == "Ash was 5 points ahead: 5 in appearance."
    assert page.totals == "Ash 220, you 225: 5 apart, Ash ahead."


# Typing their sheets


def sent(line, marks, **more):
    table = {f"m-{n}-{key}": mark for n in range(5) for key, mark in zip(KEYS, marks, strict=True)}
    return {"rival": line.pk, "seen": how_sheets_stand(line)} | table | more


@pytest.fixture
def url(entry, team):
    return reverse("insight:record_rival", args=[team.slug, entry.pk])


def test_their_sheets_are_kept(today, signed_in, entry, url):
    line = line_of(entry)
    data = sent(line, ["10", "9", "9,5", "8½", "9"])
    for _ in range(2):  # the page sent twice
        answer = signed_in.post(url, data, follow=True)
        assert answer.status_code == 200
        assert "The sheets are kept." in text_of(answer)
    line.refresh_from_db()
    assert line.sheets == typed(*[("10", "9", "9.5", "8.5", "9")] * 5)
    assert "Ash was 5 points ahead" in text_of(answer)


def test_blanks_take_them_away(today, signed_in, entry, url):
    line = line_of(entry)
    give(line, *[GOOD] * 5)
    signed_in.post(url, sent(line, [""] * 5))
    line.refresh_from_db()
    assert line.sheets == []


def test_bad_marks_stay_typed(today, signed_in, entry, url):
    line = line_of(entry)
    marks = sent(line, ["9"] * 5) | {"m-2-taste": "nine", "m-3-doneness": "-4"}
    answer = signed_in.post(url, marks)
    assert answer.status_code == 422
    page = text_of(answer)
    assert "“nine” is not a number." in page
    assert "“-4” is below nothing; marks start at 0." in page
    assert 'value="nine"' in page
    line.refresh_from_db()
    assert line.sheets == []


def test_a_judge_without_a_mark_is_told(today, signed_in, entry, url):
    line = line_of(entry)
    marks = sent(line, ["9"] * 5) | {f"m-1-{key}": "" for key in KEYS}
    answer = signed_in.post(url, marks)
    assert answer.status_code == 422
    assert "Judge 2 has no mark. Both sides need as many judges" in text_of(answer)


def test_two_people_typing_see_each_other(today, signed_in, entry, url):
    line = line_of(entry)
    data = sent(line, ["9"] * 5)
    give(line, *[(8, 8, 8, 8, 8)] * 5)
    answer = signed_in.post(url, data)
    assert answer.status_code == 409
    page = text_of(answer)
    assert "Somebody wrote other sheets meanwhile" in page
    assert 'value="9"' in page
    line.refresh_from_db()
    assert f'name="seen" value="{how_sheets_stand(line)}"' in page
    assert signed_in.post(url, data | {"seen": how_sheets_stand(line)}).status_code == 302
    line.refresh_from_db()
    assert line.sheets[0]["taste"] == "9"


def test_who_is_not_on_the_list_is_refused(today, signed_in, entry, url):
    ours = FieldLine.objects.get(entry=entry)
    for rival in ("", "x", str(ours.pk), "999999"):
        assert signed_in.post(url, {"rival": rival}).status_code == 400


def test_a_reader_types_nothing(client, reader, entry, url):
    client.force_login(reader.user)
    assert client.post(url, sent(line_of(entry), ["9"] * 5)).status_code == 403
    page = client.get(reverse("insight:show_rival", args=[reader.team.slug, entry.pk]))
    assert "Keep their sheets" not in page.content.decode()


def test_the_action_refuses_our_own_line_and_stale_writes(entry, owner):
    ours = FieldLine.objects.get(entry=entry)
    nine = [dict.fromkeys(KEYS, Decimal(9))] * 5
    with pytest.raises(ValidationError, match="ours"):
        keep_rival_sheets(line=ours, sheets=nine, seen=how_sheets_stand(ours), by=owner.user)
    line = line_of(entry)
    with pytest.raises(ValidationError, match="60 judges"):
        keep_rival_sheets(line=line, sheets=nine * 13, seen="", by=owner.user)
    with pytest.raises(Conflict):
        keep_rival_sheets(line=line, sheets=nine, seen="other", by=owner.user)


@pytest.mark.parametrize("others", [2, 30])
def test_the_page_asks_the_same_however_long_the_list(
    team, cook_contest, others, django_assert_num_queries
):
    entry = cook_contest(*GOOD)
    rows = [(n, f"Team {n}", 240 - n) for n in range(1, others + 1)]
    post(entry, rows, place=others + 1)
    give(line_of(entry, "Team 1"), *[(10, 9, 9, 9, 9)] * 5)
    with django_assert_num_queries(8):
        page = rival_page(team, entry, None)
    assert len(page.options) == others
    assert replace(page).name == "Team 1"
