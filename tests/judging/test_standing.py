"""The page of a posted list: everybody's place, ours marked, ties, corrections, oddities."""

from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse

from teamops.contests.models import Entry
from teamops.judging.models import Correction, FieldLine, Posting
from teamops.judging.queries import category_lists, standing_page
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.judging import PostingFactory, scored_entry
from tests.factories.teams import UserFactory

pytestmark = pytest.mark.django_db

ROWS = [(1, "Smoke Wagon", "190.5"), (2, "Oak and Ash", "188"), (3, "Pit Row", "180")]


@pytest.fixture
def entry(team) -> Entry:
    return EntryFactory(contest=ContestFactory(team=team, past=True), team_number="12")


def posted(entry: Entry, rows=ROWS, ours: str = "Oak and Ash", **more) -> Posting:
    posting = PostingFactory(contest=entry.contest, category=entry.category, rows=rows, **more)
    posting.lines.filter(name=ours).update(entry=entry)
    return posting


def page_of(client, posting: Posting):
    url = reverse("judging:show_posting", args=[posting.contest.team.slug, posting.pk])
    return client.get(url)


def test_the_field_is_shown_with_ours_marked(signed_in, entry):
    page = page_of(signed_in, posted(entry, posted_on=date(2025, 6, 12))).text
    assert "12 June 2025" in page
    assert "3 entries." in page
    assert "The median of three totals is 188; all from 180 to 190.5." in page
    assert page.count(">ours</b>") == 1
    assert "2nd of 3, 188 points." in page
    assert "holds" in page


def test_the_lists_of_a_contest_by_category(signed_in, entry):
    posted(entry, posted_on=date(2025, 6, 12), note="from their web page")
    posted(entry, posted_on=date(2025, 6, 19))
    EntryFactory(contest=entry.contest, category__name="Dessert", category__ancillary=True)
    page = signed_in.get(
        reverse("judging:show_postings", args=[entry.contest.team.slug, entry.contest_id])
    ).text
    assert page.index("19 June 2025") < page.index("12 June 2025")
    assert "from their web page" in page
    assert "No list is kept yet." in page
    assert page.count(">holds<") == 1
    assert page.count(">earlier<") == 1


def test_places_that_the_totals_do_not_give_are_flagged(signed_in, entry):
    rows = [(1, "Smoke Wagon", "187"), (2, "Oak and Ash", "188"), (2, "Pit Row", "180"),
            (5, "Lone Star", "170")]  # fmt: skip
    page = page_of(signed_in, posted(entry, rows)).text
    assert "Posted 1st, but 2nd by its total." in page
    assert "Posted 2nd, but 1st by its total." in page
    assert "2nd is posted twice, with different totals." in page
    assert "Nobody is posted 4th." in page


def test_a_posted_total_that_is_not_our_sum_is_said(signed_in, entry, member):
    scored_entry(entry, [[8, 9, 8, 7, 8]] * 5, by=member.user)
    page = page_of(signed_in, posted(entry)).text
    assert "Our sum 200, posted 188: 12 short." in page


def test_lines_that_do_not_add_up_are_flagged(entry):
    parts = {"parts": {"Judge 1": "90", "Judge 2": "90.5"}}
    rows = [(1, "A", "180.5", parts), (2, "B", "180.5", parts), (3, "Oak and Ash", "179", parts)]
    page = standing_page(posted(entry, rows))
    assert page.rows[2].says == ("Its columns add up to 180.5, posted 179.",)


def test_a_tie_by_criterion_totals_shows_its_steps(entry):
    entry.rulebook.tie_break = ["sum:taste:kept", "sum:texture:kept", "draw"]
    entry.rulebook.save()

    def parts(taste: int) -> dict:
        return {"parts": {"Appearance": "38", "Doneness": "38", "Taste": str(taste),
                          "Texture": "36", "Overall impression": "37"}}  # fmt: skip

    rows = [(1, "Smoke Wagon", "188", parts(40)), (2, "Oak and Ash", "188", parts(39))]
    page = standing_page(posted(entry, rows))
    assert page.rows[0].steps == (
        "Level on 188 with Oak and Ash.",
        "Decided by Taste marks on the sheets that count: 40 against 39.",
    )
    assert page.rows[1].says == ()


def test_a_tie_without_marks_says_what_would_be_needed(entry):
    entry.rulebook.tie_break = ["sum:taste:kept", "draw"]
    entry.rulebook.save()
    rows = [(1, "Smoke Wagon", "188"), (2, "Oak and Ash", "188")]
    steps = standing_page(posted(entry, rows)).rows[0].steps[1]
    assert "Taste marks on the sheets that count unknown for Smoke Wagon and Oak and Ash" in steps


def test_a_tie_settled_by_a_draw_is_told(signed_in, entry):
    entry.rulebook.tie_break = ["sum:taste:kept", "draw"]
    entry.rulebook.save()
    entry.tie_way = Entry.TieWay.DRAW
    entry.save()
    rows = [(1, "Smoke Wagon", "188"), (2, "Oak and Ash", "188"), (3, "Pit Row", "180")]
    page = page_of(signed_in, posted(entry, rows)).text
    assert "The tie was settled by a draw." in page
    assert "Decided by a draw: 2 against 1." in page
    assert "unknown for" not in page


def test_a_shared_place_tells_of_the_purse(signed_in, entry):
    entry.prize_owed, entry.prize_note = Decimal("150"), "half of 3rd and 4th"
    entry.save()
    rows = [*ROWS[:1], (2, "Oak and Ash", "188"), (2, "Pit Row", "188"), (4, "Lone", "170")]
    page = page_of(signed_in, posted(entry, rows)).text
    assert "The place is shared with Pit Row." in page
    assert "It takes up 2nd to 3rd" in page
    assert "split in 2" in page
    assert "Your prize is written as 150 (half of 3rd and 4th)." in page
    assert "1 shared place" in page or "one shared place" in page


def test_disqualified_lines_are_not_ranked(entry):
    rows = [*ROWS, (None, "Lone Star", None, {"note": "DQ; foil"})]
    page = standing_page(posted(entry, rows))
    assert page.summary == "4 entries, 1 not ranked"
    assert page.rows[3].place == "–"


def test_a_later_list_tells_who_moved_and_the_earlier_says_it_is_earlier(signed_in, entry):
    first = posted(entry, posted_on=date(2025, 6, 12))
    rows = [(1, "Oak and Ash", "191"), (2, "Smoke Wagon", "190.5"), (3, "Pit Row", "180")]
    second = posted(entry, rows, posted_on=date(2025, 6, 19), note="sheet added up again")
    page = page_of(signed_in, second).text
    assert "Two places changed." in page
    assert "2nd → 1st, total 188 → 191" in page
    assert "sheet added up again" in page
    earlier = page_of(signed_in, first).text
    assert "A later list holds" in earlier
    assert reverse("judging:show_posting", args=[entry.contest.team.slug, second.pk]) in earlier


def test_rounds_are_compared_with_their_own_round_only(entry):
    posted(entry, round="table", posted_on=date(2025, 6, 12))
    final = posted(entry, [(1, "Oak and Ash", "195")], round="final", posted_on=date(2025, 6, 12))
    page = standing_page(final)
    assert page.newer is None
    assert [one.words for one in page.lists] == ["", ""]


def test_corrections_stand_beside_ours(signed_in, entry):
    Correction.objects.create(
        entry=entry, corrected_on=date(2025, 6, 19), what="Placing 3rd → 2nd.",
        why="list of 19 June", recorded_by=UserFactory(),
    )  # fmt: skip
    page = page_of(signed_in, posted(entry)).text
    assert "Placing 3rd → 2nd. (list of 19 June)" in page


def test_a_box_of_ours_that_is_not_on_the_list_is_said(signed_in, entry):
    page = page_of(signed_in, posted(entry, ours="nobody")).text
    assert "is not on this list" in page


@pytest.mark.parametrize("length", [2, 300])
@pytest.mark.parametrize("lists", [1, 4])
def test_the_page_takes_as_many_queries_however_long_the_lists(
    entry, member, length, lists, django_assert_num_queries
):
    scored_entry(entry, [[8, 9, 8, 7, 8]] * 5, by=member.user)
    rows = [(n, f"Team {n}", str(300 - n // 2)) for n in range(1, length)]
    for number in range(lists):
        posting = posted(entry, [*rows, (length, "Oak and Ash", "9")], round=f"r{number % 2}")
    posting = Posting.objects.select_related("contest", "category", "recorded_by").get(
        pk=posting.pk
    )
    with django_assert_num_queries(8):
        assert len(standing_page(posting).rows) == length


@pytest.mark.parametrize("length", [1, 12])
def test_the_lists_of_a_contest_take_three_queries(entry, length, django_assert_num_queries):
    for _ in range(length):
        posted(entry)
    with django_assert_num_queries(3):
        (category,) = category_lists(entry.contest)
    assert len(category.lists) == length


def test_another_teams_lists_are_nowhere(entry):
    theirs = PostingFactory(rows=ROWS)
    team = entry.contest.team
    assert not Posting.objects.for_team(team).exists()
    assert not FieldLine.objects.for_team(team).exists()
    assert FieldLine.objects.for_team(theirs.contest.team).count() == 3
