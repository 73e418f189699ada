"""Photos that teach: boxes and cuts by mark or by date, beside what judges gave."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Entry, EntryPhoto
from teamops.insight.queries.boxes import (
    A_PAGE,
    LATEST,
    LISTED,
    BoxesAsked,
    box_filters,
    boxes_page,
)
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.judging import scored_entry
from tests.factories.photos import EntryPhotoFactory
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.insight.conftest import TODAY
from tests.insight.pages import text_of

BOX, CUT, SHEET = EntryPhoto.Shows.BOX, EntryPhoto.Shows.CUT, EntryPhoto.Shows.SHEET


@pytest.fixture
def show(cook_contest):
    """Cook a contest, with photos of these kinds; `mark` is what each judge gives doneness."""

    def show(mark: float, *shows: str, **more) -> Entry:
        entry = cook_contest(9, mark, 8, 8, 8, **more)
        for kind in shows:
            EntryPhotoFactory(entry=entry, shows=kind)
        return entry

    return show


def names(page) -> list[str]:
    return [box.contest for box in page.boxes]


def test_best_marked_first_or_latest_first(show, owner, today):
    show(7, BOX, name="Middle", weeks=1)
    show(9, CUT, name="Best", weeks=3)
    show(5, BOX, CUT, name="Worst", weeks=2)
    assert names(boxes_page(owner, TODAY, BoxesAsked())) == ["Best", "Middle", "Worst"]
    by_date = boxes_page(owner, TODAY, BoxesAsked(order=LATEST))
    assert names(by_date) == ["Middle", "Worst", "Best"]


def test_marks_on_two_scales_are_ordered_by_their_share_and_no_mark_comes_last(
    show, owner, team, today
):
    show(8, BOX, name="Of ten")  # 7 of the 9 from 1 to 10
    wide = RulebookFactory(criteria=0)
    CriterionFactory(rulebook=wide, order=1, key="done", name="Cooked done", least=0, most=20)
    contest = ContestFactory(team=team, name="Of twenty", held_on=TODAY - timedelta(weeks=9))
    better = scored_entry(EntryFactory(contest=contest, rulebook=wide), [[17]] * 5)
    EntryPhotoFactory(entry=better)
    bare = ContestFactory(team=team, name="Unmarked", held_on=TODAY - timedelta(days=1))
    EntryPhotoFactory(entry=EntryFactory(contest=bare))
    page = boxes_page(owner, TODAY, BoxesAsked())
    assert names(page) == ["Of twenty", "Of ten", "Unmarked"]
    assert page.boxes[0].lines[0] == ("Doneness", "17.00 of 20")
    assert page.boxes[2].lines == ()


def test_what_was_seen_stands_beside_what_judges_gave(show, open_page):
    entry = show(7.5, BOX, CUT, name="Smoke Ford", placing=6, field_size=20)
    entry.doneness_seen, entry.peak_c = "over", Decimal("63.8889")
    entry.save()
    answer = open_page("show_boxes")
    (box,) = answer.context["board"].boxes
    assert (box.seen, box.look) == ("over", "hot")
    assert box.lines == (
        ("Doneness", "7.50 of 10"), ("Appearance", "9.00 of 10"), ("Peak", "147 °F"),
        ("Placing", "6th of 20"),
    )  # fmt: skip
    assert [row.shows for row in box.photos] == ["the box", "the cut"]
    page = answer.content.decode()
    for words in ('alt="The box of Ribeye', 'loading="lazy"', 'width="64" height="48"', ">over<"):
        assert words in page
    assert "?size=small" in page


def test_photos_of_sheets_and_tickets_teach_nothing_here(show, owner, today):
    show(8, SHEET)
    page = boxes_page(owner, TODAY, BoxesAsked())
    assert (page.count, page.without) == (0, 1)


def test_by_category_cook_and_what_is_shown(show, owner, cook, team, today):
    show(8, BOX, name="Chicken day", category="Chicken", weeks=2)
    mine = show(7, CUT, name="Mine", weeks=1)
    mine.cook_of_record = cook.user
    mine.save()
    guest = show(6, BOX, name="Guest's", weeks=3)
    guest.cook_of_record, guest.guest_cook = cook.user, "Sam"
    guest.save()
    asked = {
        "Mine": BoxesAsked(cook=str(cook.user.pk)),
        "Guest's": BoxesAsked(cook="guests"),
        "Chicken day": BoxesAsked(category=mine.contest.team.categories.get(name="Chicken").pk),
    }
    for name, one in asked.items():
        assert names(boxes_page(owner, TODAY, one)) == [name]
    cuts = boxes_page(owner, TODAY, BoxesAsked(shows="cut"))
    assert names(cuts) == ["Mine"]
    assert cuts.without == 2
    _, cooks = box_filters(team)
    assert cooks == [(str(cook.user.pk), str(cook.user)), ("guests", "guests")]


def test_boxes_without_a_photo_are_named_with_where_to_add_one(show, open_page, team):
    for week in range(1, LISTED + 4):
        show(8, weeks=week, name=f"Bare {week}")
    answer = open_page("show_boxes")
    page = text_of(answer)
    assert f"No photo: {LISTED + 3} entries" in page
    assert "and 3 more, before these" in page
    assert "No photo here yet. Take one of the box before its lid closes" in page
    entry = Entry.objects.get(contest__name="Bare 1")
    assert reverse("contests:add_photo", args=[team.slug, entry.pk]) in page
    assert "Bare 15" not in page


def test_what_is_to_come_was_dropped_or_called_off_is_not_missed(show, owner, team, today):
    EntryFactory(contest=ContestFactory(team=team, held_on=TODAY + timedelta(days=3)))
    past = TODAY - timedelta(days=3)
    EntryFactory(contest=ContestFactory(team=team, held_on=past), state="dropped")
    EntryFactory(contest=ContestFactory(team=team, held_on=past, state="cancelled"))
    EntryFactory(contest=ContestFactory(team=team, held_on=past), cooked_for="Red Fork")
    assert boxes_page(owner, TODAY, BoxesAsked()).without == 0


def test_two_ticked_boxes_stand_side_by_side(show, open_page):
    one, other = show(9, BOX, name="One"), show(6, CUT, name="Other", weeks=2)
    show(7, BOX, name="Third", weeks=3)
    answer = open_page("show_boxes", query=f"compare={other.pk}&compare={one.pk}&order=date")
    assert [box.contest for box in answer.context["board"].pair] == ["Other", "One"]
    page = text_of(answer)
    assert "Side by side" in page
    assert page.count(" checked>") == 2
    assert 'href="?order=date"' in page  # putting them back keeps the rest of the choice


@pytest.mark.parametrize("ticked", ["compare={one}", "compare={one}&compare=nonsense"])
def test_one_ticked_box_asks_for_another(show, open_page, ticked):
    one = show(9, BOX)
    answer = open_page("show_boxes", query=ticked.format(one=one.pk))
    assert "Tick two boxes to see them side by side." in text_of(answer)
    assert not answer.context["board"].pair


def test_another_teams_box_is_never_beside_ours(show, open_page):
    one, theirs = show(9, BOX), EntryPhotoFactory().entry
    answer = open_page("show_boxes", query=f"compare={one.pk}&compare={theirs.pk}")
    assert not answer.context["board"].pair
    assert theirs.contest.name not in answer.content.decode()


def test_a_box_ticked_on_another_page_stays_ticked(show, team, owner, today):
    entries = [show(9, BOX, weeks=1, name="A")]
    for number in range(A_PAGE):
        contest = ContestFactory(
            team=team, held_on=TODAY - timedelta(weeks=2 + number), name=f"Plain {number:02}"
        )
        EntryPhotoFactory(entry=EntryFactory(contest=contest))
    asked = BoxesAsked(order=LATEST, page=2, compare=(entries[0].pk,))
    page = boxes_page(owner, TODAY, asked)
    assert (page.page, page.pages, len(page.boxes)) == (2, 2, 1)
    assert page.ticked == (str(entries[0].pk),)
    beyond = boxes_page(owner, TODAY, BoxesAsked(page=99))
    assert beyond.page == 2


def test_a_reader_waits_for_the_awards(show, client, reader, team, today):
    done = show(9, BOX, name="Long over")
    fresh = show(8, BOX, contest=ContestFactory(team=team, held_on=TODAY))
    fresh.contest.awards_at = timezone.now() + timedelta(hours=1)
    fresh.contest.save()
    client.force_login(reader.user)
    page = client.get(reverse("insight:show_boxes", args=[team.slug])).content.decode()
    assert done.contest.name in page
    assert str(fresh.pk) not in page
    show(7, name="Nothing there", weeks=4)
    page = client.get(reverse("insight:show_boxes", args=[team.slug])).content.decode()
    assert "No photo: 1 entry" in page
    assert "/photos/" in page
    assert "Add a photo" not in page


@pytest.mark.parametrize(
    "query", ["category=nonsense", "order=smell", "shows=sheet", "cook=0", "page=x"]
)
def test_what_cannot_be_chosen_is_said(show, open_page, query):
    show(8, BOX)
    answer = open_page("show_boxes", query=query)
    assert answer.status_code == 422
    assert answer.context["form"].errors


@pytest.mark.parametrize("many", [1, 5])
def test_the_page_takes_the_same_queries(show, owner, many, today, django_assert_num_queries):
    for week in range(1, many + 1):
        show(8, BOX, CUT, weeks=week)
        show(8, weeks=week + 10)
    with django_assert_num_queries(5):
        assert boxes_page(owner, TODAY, BoxesAsked()).count == many


def test_nothing_cooked_yet_leads_to_the_contests(open_page):
    page = text_of(open_page("show_boxes"))
    assert "No photo here yet." in page
    assert "To the contests" in page
