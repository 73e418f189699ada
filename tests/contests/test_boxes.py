"""What is odd about boxes, who was to cook them, and what became of them."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from teamops.contests import actions, queries
from teamops.contests.models import Entry
from teamops.teams.versions import Conflict
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.rules import RulebookFactory
from tests.factories.teams import MembershipFactory

OPENS = datetime(2027, 6, 12, 18, 0, tzinfo=UTC)  # 1:00 pm in Chicago
QUARTER = timedelta(minutes=15)


@pytest.fixture
def contest(team):
    return ContestFactory(team=team, held_on=date(2027, 6, 12))


def box(contest, opens=OPENS, /, category="Ribeye", **more) -> Entry:
    kind = CategoryFactory(team=contest.team, name=category)
    closes = opens + QUARTER if opens else None
    return EntryFactory(
        contest=contest, category=kind, window_opens_at=opens, window_closes_at=closes, **more
    )


def odd(contest) -> list[str]:
    entries = list(contest.entries.select_related("category", "cook_of_record"))
    return sorted(w for words in queries.entry_warnings(contest, entries).values() for w in words)


def test_one_number_in_two_categories_is_pointed_out(contest):
    box(contest, blind_number="12")
    box(contest, None, category="Dessert", blind_number="12")
    assert odd(contest) == [
        "Blind number 12 is on Dessert too.",
        "Blind number 12 is on Ribeye too.",
    ]


def test_a_two_person_team_enters_two_rival_boxes(contest, cook, helper):
    box(contest, cook_of_record=cook.user)
    box(contest, cook_of_record=helper.user)
    assert odd(contest) == []


def test_one_cook_for_two_boxes_at_a_time_is_pointed_out(contest, cook):
    box(contest, cook_of_record=cook.user)
    dessert = box(contest, OPENS + timedelta(minutes=14), category="Dessert",
                  cook_of_record=cook.user)  # fmt: skip
    name = cook.user
    assert odd(contest) == [
        f"{name} cooks Dessert in the same window.",
        f"{name} cooks Ribeye in the same window.",
    ]
    for change in ({"state": "dropped"}, {"guest_cook": "Sam"}):
        for field, value in change.items():
            setattr(dessert, field, value)
        dessert.save()
        assert odd(contest) == []


def test_one_window_after_the_other_is_fine(contest, cook):
    box(contest, cook_of_record=cook.user)
    box(contest, OPENS + QUARTER, category="Dessert", cook_of_record=cook.user)
    box(contest, None, category="Chicken", cook_of_record=cook.user)
    assert odd(contest) == []


def test_a_window_on_another_day_is_pointed_out_after_midnight_is_not(contest):
    box(contest, OPENS + timedelta(days=1))
    assert odd(contest) == ["Its window is on 13 Jun, not on the contest’s day."]
    Entry.objects.all().delete()
    box(contest, datetime(2027, 6, 13, 4, 55, tzinfo=UTC))  # 11:55 pm to 12:10 am
    assert odd(contest) == []


def fields(book, **more) -> dict[str, str]:
    return {
        "category_name": "Ribeye", "rulebook": str(book.pk), "window_opens_at_0": "2027-06-13",
        "window_opens_at_1": "13:00", "window_closes_at_0": "2027-06-13",
    } | more  # fmt: skip


def test_what_is_odd_is_stored_said_and_shown(signed_in, team, contest):
    book = RulebookFactory(window_minutes=15)
    add = reverse("contests:add_entry", args=[team.slug, contest.pk])
    page = signed_in.post(add, fields(book), follow=True).content.decode()
    assert Entry.objects.count() == 1
    assert page.count("Its window is on 13 Jun, not on the contest’s day.") == 2


def test_a_box_is_moved_to_another_cook_with_its_history(signed_in, team, contest, cook, member):
    book = RulebookFactory()
    entry = EntryFactory(contest=contest, rulebook=book, cook_of_record=cook.user)
    url = reverse("contests:change_entry", args=[team.slug, entry.pk])
    signed_in.post(url, fields(book, cook_of_record=member.user.pk, seen="1"))
    signed_in.post(url, fields(book, cook_of_record=member.user.pk, guest_cook="Sam", seen="2"))
    other = RulebookFactory()
    signed_in.post(url, fields(other, cook_of_record=member.user.pk, state="dropped", seen="3"))
    story = [line.split(": ", 1)[1] for line in queries.entry_story(Entry.objects.get())]
    assert story == [
        f"entered, cook {cook.user}",
        f"moved from {cook.user} to {member.user}, by {member.user}",
        f"moved from {member.user} to Sam, by {member.user}",
        f"moved from Sam to {member.user}, by {member.user}",
        f"category dropped, by {member.user}",
        f"judged by {other}, by {member.user}",
    ]
    assert f"moved from {cook.user} to {member.user}" in signed_in.get(url).content.decode()


def test_a_cook_who_has_left_stays_on_the_box(signed_in, team, contest):
    book, left = RulebookFactory(), MembershipFactory(team=team)
    entry = EntryFactory(contest=contest, rulebook=book, cook_of_record=left.user)
    left.delete()
    url = reverse("contests:change_entry", args=[team.slug, entry.pk])
    answer = signed_in.post(url, fields(book, cook_of_record=left.user_id, seen="1"))
    assert answer.status_code == 302


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({}, ""),
        ({"guest_cook": "Sam"}, "Sam, guest"),
        ({"cooked_for": "Red Fork"}, "cooked for Red Fork"),
        ({"guest_cook": "Sam", "cooked_for": "Red Fork"}, "Sam, guest for Red Fork"),
    ],
)
def test_who_cooks_and_for_whom(row, words):
    assert queries.whose(Entry(**row)) == words


def test_a_member_cooks_for_another_team(signed_in, team, contest, cook):
    box(contest, cook_of_record=cook.user, cooked_for="Red Fork")
    page = signed_in.get(reverse("contests:show_contest", args=[team.slug, contest.pk]))
    assert f"Ribeye · {cook.user} for Red Fork" in page.content.decode()


def test_one_category_is_judged_and_the_rest_not(signed_in, team, contest, member):
    judged, *rest = [box(contest, category=name) for name in ("Ribeye", "Dessert", "Chicken")]
    url = reverse("contests:set_outcomes", args=[team.slug, contest.pk])
    assert "Dessert, 1:00 pm to 1:15 pm" in signed_in.get(url).content.decode()
    typed = {f"state_{row.pk}": "not_judged" for row in rest} | {f"state_{judged.pk}": ""}
    for _ in range(2):  # sent twice
        assert signed_in.post(url, typed).status_code == 302
    assert [row.version for row in Entry.objects.order_by("category__name")] == [2, 2, 1]
    page = signed_in.get(reverse("contests:show_contest", args=[team.slug, contest.pk]))
    assert page.content.decode().count("not judged</span>") == 2
    assert signed_in.post(url, typed | {f"state_{judged.pk}": "eaten"}).status_code == 422
    judged.refresh_from_db()
    assert judged.state == ""
    assert rest[0].history.first().changed_by == member.user


def test_an_outcome_is_not_written_over_anothers_save(contest, cook):
    entry = box(contest)
    stale = Entry.objects.get(pk=entry.pk)
    actions.set_outcomes(contest=contest, outcomes={entry.pk: "missed"}, by=cook.user)
    with pytest.raises(Conflict):
        actions.save_entry(
            entry=stale, category_name="Ribeye", ancillary=False, seen=1, by=cook.user
        )


def test_a_box_added_that_morning_says_so(signed_in, team, contest):
    added = box(contest)
    page = reverse("contests:show_contest", args=[team.slug, contest.pk])
    assert "Added on the day" not in signed_in.get(page).content.decode()
    first = added.history.get()
    first.history_date = datetime(2027, 6, 13, 4, 0, tzinfo=UTC)  # still the 12th in Chicago
    first.save()
    assert "Added on the day" in signed_in.get(page).content.decode()


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({}, ""),
        ({"prize_note": "a knife"}, "a knife"),
        ({"prize_owed": Decimal(300)}, "300.00 USD, 300.00 to come"),
        (
            {"prize_owed": Decimal(300), "prize_received": Decimal(150),
             "prize_received_on": date(2027, 6, 20), "prize_note": "split purse"},
            "300.00 USD, 150.00 received on 20 Jun, 150.00 to come (split purse)",
        ),
        ({"prize_owed": Decimal(3), "prize_received": Decimal(3)}, "3.00 USD, 3.00 received"),
        ({"prize_received": Decimal(50)}, "50.00 received"),
    ],
)  # fmt: skip
def test_a_prize_in_words(row, words):
    assert queries.prize_words(Entry(**row), "USD") == words


def test_a_prize_and_what_it_qualifies_for_are_typed(signed_in, team, contest):
    book = RulebookFactory()
    entry = EntryFactory(contest=contest, rulebook=book)
    url = reverse("contests:change_entry", args=[team.slug, entry.pk])
    typed = {"prize_owed": "300", "prize_received": "150", "qualifies_for": "The autumn final"}
    signed_in.post(url, fields(book, seen="1", **typed))
    page = signed_in.get(reverse("contests:show_contest", args=[team.slug, contest.pk]))
    assert "Prize: 300.00 USD, 150.00 received, 150.00 to come" in page.content.decode()
    assert "The autumn final" in page.content.decode()
    answer = signed_in.post(url, fields(book, seen="2", prize_owed="-1"))
    assert list(answer.context["form"].errors) == ["prize_owed"]
    page = answer.content.decode()
    fold = page.index('id="id_prize_owed"')
    assert page.rindex("<details", 0, fold) == page.rindex('<details class="how" open>', 0, fold)


def test_rulebooks_are_named_with_their_criteria_and_judges(signed_in, team, contest):
    book = RulebookFactory()
    add = reverse("contests:add_entry", args=[team.slug, contest.pk])
    count = book.criteria.count()
    label = f"{book} · {count} criteria, {book.sheets_expected} judges"
    assert label in signed_in.get(add).content.decode()


def test_what_became_of_a_box_with_a_total_is_left_to_the_score_page(signed_in, contest, cook):
    """Its stored total would not follow from here."""
    scored, other = box(contest, None, placing=4), box(contest, None, category="Dessert")
    url = reverse("contests:set_outcomes", args=[contest.team.slug, contest.pk])
    field = signed_in.get(url).context["form"].fields[f"state_{scored.pk}"]
    assert field.disabled
    assert "score page" in field.help_text
    signed_in.post(url, {f"state_{entry.pk}": "dropped" for entry in (scored, other)})
    assert [Entry.objects.get(pk=entry.pk).state for entry in (scored, other)] == ["", "dropped"]
    change = reverse("contests:change_entry", args=[contest.team.slug, scored.pk])
    assert signed_in.get(change).context["form"].fields["state"].disabled
    dropped = {scored.pk: "dropped"}
    assert actions.set_outcomes(contest=contest, outcomes=dropped, by=cook.user) == 0
