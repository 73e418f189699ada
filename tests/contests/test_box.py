"""Before the lid closes: only what the book knows is asked, in five taps at most, and is kept."""

from itertools import product
from uuid import uuid4

import pytest
from django.urls import reverse

from teamops.contests.models import Contest, Entry, LidCheck
from teamops.contests.queries.box import LEFT_IN, MOST, box_questions, lid_rows
from teamops.rules.models import Rulebook
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.rules import RulebookFactory

MUST, MAY, NO = Rulebook.Allowed.MUST, Rulebook.Allowed.MAY, Rulebook.Allowed.NO


def asks(book: dict, number: str = "", said: str = "") -> list[str]:
    entry = Entry(contest=Contest(box_word=said), blind_number=number)
    return [one.ask for one in box_questions(Rulebook(name="Book", **book), entry)]


def test_a_book_that_says_nothing_asks_what_every_box_is_looked_at_for():
    assert asks({}) == [LEFT_IN, "No mark on the box that tells whose it is"]


def test_each_thing_the_book_knows_is_asked():
    assert asks({"piece": "one whole steak", "garnish": NO}, number="12") == [
        "The right piece: one whole steak",
        LEFT_IN,
        "No garnish",
        "The number on the box is 12",
        "No other mark on the box that tells whose it is",
    ]


@pytest.mark.parametrize(
    ("book", "asked"),
    [
        ({"pieces_least": 6, "pieces_most": 8}, "Count them: 6 to 8 pieces"),
        ({"pieces_least": 1, "pieces_most": 1}, "Count them: 1 piece"),
        ({"pieces_least": 6}, "Count them: at least 6 pieces"),
        ({"pieces_most": 8}, "Count them: at most 8 pieces"),
        ({"garnish": MUST, "garnish_words": "parsley"}, "Garnish is in, as it must: parsley"),
        ({"garnish": MAY}, "Garnish, if any, as allowed"),
        ({"sauce": NO, "sauce_words": "none pooled"}, "No sauce: none pooled"),
        ({"sauce_words": "on the side"}, "Sauce: on the side"),
    ],
)
def test_how_it_is_ruled(book, asked):
    assert asked in asks(book)


def test_more_than_five_are_asked_side_by_side():
    book = {"piece": "thigh", "pieces_least": 6, "garnish": MAY, "sauce": NO}
    assert asks(book, "12", "Lids closed.") == [
        "The right piece: thigh; count them: at least 6 pieces",
        LEFT_IN,
        "Garnish, if any, as allowed; no sauce",
        "The number on the box is 12; no other mark on the box that tells whose it is",
        "As said at the meeting: Lids closed.",
    ]


def test_never_more_than_five_taps_and_nothing_is_left_out():
    choices = (("", "steak"), (None, 6), ("", NO), ("", MUST), ("", "12"), ("", "Lids closed."))
    for piece, least, garnish, sauce, number, said in product(*choices):
        book = {"piece": piece, "pieces_least": least, "garnish": garnish, "sauce": sauce}
        asked = asks(book, number, said)
        assert len(asked) <= MOST
        together = "; ".join(asked).casefold()
        for known in (piece, garnish and "No garnish", sauce and "Sauce is in", number, said):
            assert not known or str(known).casefold() in together


@pytest.fixture
def entry(team):
    book = RulebookFactory(piece="one whole steak", garnish=NO)
    return EntryFactory(contest=ContestFactory(team=team), rulebook=book)


RIGHT = {"piece": "right", "left": "right", "garnish": "right", "marks": "right"}


def url_of(entry):
    return reverse("contests:check_box", args=[entry.contest.team.slug, entry.pk])


def test_a_helper_answers_each_and_it_is_kept_with_who_and_when(client, helper, entry):
    client.force_login(helper.user)
    page = client.get(url_of(entry)).content.decode()
    assert page.count("<fieldset") == 4
    answer = client.post(url_of(entry), RIGHT)
    assert answer.url == reverse("contests:turn_in", args=[helper.team.slug, entry.pk])
    check = LidCheck.objects.get()
    assert check.all_right
    assert check.checked_by == helper.user
    assert check.answers[0] == {
        "key": "piece", "asked": "The right piece: one whole steak", "right": True
    }  # fmt: skip


def test_something_not_right_is_said_and_stops_nothing(signed_in, entry):
    typed = RIGHT | {"left": "wrong", "note": "A pick under the fat."}
    answer = signed_in.post(url_of(entry), typed, follow=True)
    page = answer.content.decode()
    assert "Not right:" in page
    assert LEFT_IN in page
    assert "A pick under the fat." in page
    (row,) = lid_rows(entry)
    assert (row.words, row.wrong) == ("1 not right", (LEFT_IN,))
    turn_in = reverse("contests:turn_in", args=[entry.contest.team.slug, entry.pk])
    assert "Turned in now" in signed_in.get(turn_in).content.decode()
    assert signed_in.post(turn_in, {"press": "now"}).status_code == 302
    entry.refresh_from_db()
    assert entry.turned_in_at


def test_what_was_not_looked_at_is_not_all_right(signed_in, entry):
    signed_in.post(url_of(entry), {"piece": "right"})
    (row,) = lid_rows(entry)
    assert row.words == "not everything was looked at"
    assert not LidCheck.objects.get().all_right


def test_pressing_twice_keeps_one(signed_in, entry):
    typed = RIGHT | {"check": str(uuid4())}
    for _ in range(2):
        assert signed_in.post(url_of(entry), typed).status_code == 302
    assert LidCheck.objects.count() == 1


def test_looking_again_keeps_both_looks_though_the_page_was_gone_back_to(signed_in, entry):
    same = {"check": str(uuid4())}
    signed_in.post(url_of(entry), RIGHT | same | {"left": "wrong"})
    signed_in.post(url_of(entry), RIGHT | same)
    assert [row.words for row in lid_rows(entry)] == ["all right", "1 not right"]


def test_an_id_of_another_teams_check_writes_nothing_over_it(signed_in, entry, stranger):
    theirs = LidCheck(entry=EntryFactory(), checked_by=stranger.user,
                      checked_at=entry.contest.history.first().history_date)  # fmt: skip
    theirs.save()
    signed_in.post(url_of(entry), RIGHT | {"check": str(theirs.pk)})
    theirs.refresh_from_db()
    assert theirs.answers == []
    assert entry.lid_checks.count() == 1


def test_nothing_answered_is_no_look_and_what_was_typed_stays(signed_in, entry):
    answer = signed_in.post(url_of(entry), {"note": "In a hurry"})
    assert answer.status_code == 422
    assert "In a hurry" in answer.content.decode()
    assert not LidCheck.objects.exists()


def test_another_teams_box_is_not_found_and_a_reader_may_not(signed_in, client, reader, entry):
    other = EntryFactory()
    url = reverse("contests:check_box", args=[entry.contest.team.slug, other.pk])
    assert signed_in.get(url).status_code == 404
    client.force_login(reader.user)
    assert client.get(url_of(entry)).status_code == 403
