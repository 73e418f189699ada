from datetime import UTC, datetime
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from teamops.packing import actions
from teamops.packing.models import PackingLine, PackingList, ShoppingLine
from tests.factories.contests import TripFactory
from tests.factories.packing import PackingLineFactory, PackingListFactory, ShoppingLineFactory
from tests.packing.conftest import numbers

HTMX = {"HX-Request": "true"}
NUMBERS = {
    "title": "Gravel Bar", "entries": "2", "steaks": "2", "cooks": "2", "people": "3", "days": "2",
    "judge_bites": "0", "cook_hours": "4", "grills": "1", "coolers": "2", "canopies": "1",
    "vehicles": "1", "trailers": "0", "fire": ["charcoal"],
}  # fmt: skip


@pytest.fixture
def ours(team) -> PackingList:
    return PackingListFactory(trip__team=team, lines=2)


def at(team, name, *args) -> str:
    return reverse(f"packing:{name}", args=[team.slug, *args])


def text(response) -> str:
    return response.content.decode()


# Trips and making ------------------------------------------------------------------------------


def test_lists_page_offers_to_make_one(signed_in, team, trip):
    assert at(team, "make_list", trip.pk) in text(signed_in.get(at(team, "show_lists")))


def test_lists_page_of_a_team_with_no_trip(signed_in, team):
    page = text(signed_in.get(at(team, "show_lists")))
    assert reverse("contests:add_contest", args=[team.slug]) in page


def test_make_list_is_filled_in_and_made(signed_in, team, trip, kit):
    page = signed_in.get(at(team, "make_list", trip.pk))
    assert page.context["form"]["title"].value() == "Gravel Bar"
    assert "with_starters" not in page.context["form"].fields
    answer = signed_in.post(at(team, "make_list", trip.pk), NUMBERS)
    made = PackingList.objects.get(trip=trip)
    assert answer.url == at(team, "show_list", made.pk)
    board = text(signed_in.get(answer.url))
    assert "2 a cook x 2 cooks = 4" in board
    again = signed_in.get(at(team, "make_list", trip.pk))
    assert again.url == answer.url


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"cooks": "two"}, "cooks", "Enter a whole number."),
        ({"days": "-1"}, "days", "greater than or equal to 0"),
        ({"days": "61"}, "days", "less than or equal to 60"),
        ({"cook_hours": "x"}, "cook_hours", "Enter a number."),
        ({"cook_hours": "NaN"}, "cook_hours", "Enter a number."),
        ({"people": "1"}, "__all__", "cooks are people"),
        ({"title": "\x00"}, "title", "cannot be stored"),
        ({"title": "x" * 10_000}, "title", "at most 120"),
        ({"fire": ["coal"]}, "fire", "Select a valid choice"),
    ],
)
def test_bad_numbers_stay_typed(signed_in, team, trip, kit, typed, field, words):
    answer = signed_in.post(at(team, "make_list", trip.pk), NUMBERS | typed)
    assert answer.status_code == 422
    form = answer.context["form"]
    assert words in str(form.errors[field])
    assert form["entries"].value() == "2"
    assert not PackingList.objects.exists()


def test_odd_words_are_kept_as_words(signed_in, team, trip, kit):
    title = "🥩 <b>שבת</b> " + "ع" * 20
    signed_in.post(at(team, "make_list", trip.pk), NUMBERS | {"title": title})
    made = PackingList.objects.get()
    assert made.title == title.strip()
    assert "&lt;b&gt;שבת" in text(signed_in.get(at(team, "show_list", made.pk)))


def test_change_numbers_says_what_changed(signed_in, team, trip, kit, owner):
    made = actions.make_list(
        packing_list=numbers(trip), kits=None, with_starters=False, by=owner.user
    )
    url = at(team, "change_numbers", made.pk)
    page = text(signed_in.get(url))
    assert "Entries: the contests say 0, the list has 3" in page
    assert "Steaks: the contests say 0, the list has 2" in page
    answer = signed_in.post(url, NUMBERS | {"cooks": "3", "seen": made.version})
    page = text(signed_in.get(answer.url))
    assert "Tongs: 4 → 6." in page
    late = signed_in.post(url, NUMBERS | {"cooks": "1", "seen": "1"})
    assert late.status_code == 409
    assert "saved this while you typed" in text(late)
    assert late.context["form"]["cooks"].value() == "1"
    made.refresh_from_db()
    assert made.cooks == 3
    knowing = signed_in.post(url, NUMBERS | {"cooks": "1", "seen": late.context["seen"]})
    assert knowing.status_code == 302


def test_delete_list_asks_first(signed_in, team, ours):
    url = at(team, "delete_list", ours.pk)
    assert "Its 2 lines" in text(signed_in.get(url))
    assert PackingList.objects.exists()
    signed_in.post(url)
    assert not PackingList.objects.exists()


# The board -------------------------------------------------------------------------------------


@pytest.mark.parametrize("length", [1, 40])
def test_the_page_takes_the_same_queries(length, signed_in, team, django_assert_num_queries):
    packing_list = PackingListFactory(trip__team=team, lines=length - 1)
    PackingLineFactory(packing_list=packing_list, packed=True, have=1)
    url = at(team, "show_list", packing_list.pk)
    with django_assert_num_queries(8):  # session, person, door, list, and the board's four
        signed_in.get(url)


def test_a_tick_without_javascript_comes_back_to_its_row(signed_in, team, ours):
    line = ours.lines.first()
    url = at(team, "set_line", ours.pk)
    for _ in range(2):  # pressed twice
        answer = signed_in.post(url, {"pack": line.pk, "stage": "pack", "left": "1"})
        assert answer.url == f"{at(team, 'show_list', ours.pk)}?stage=pack&left=1#line-{line.pk}"
    line.refresh_from_db()
    assert line.packed_at
    signed_in.post(url, {"unpack": line.pk})
    line.refresh_from_db()
    assert line.packed_at is None


@pytest.mark.parametrize(
    ("hour", "said"), [(19, "Sat 13 Jun, 2:15 pm"), (17, "Sat 13 Jun, 12:15 pm"), (4, "Fri 12 Jun")]
)
def test_a_line_says_when_it_was_ticked_on_the_teams_clock(signed_in, team, ours, hour, said):
    team.time_zone = "America/Chicago"  # five hours behind in June
    team.save()
    at_that = datetime(2099, 6, 13, hour, 15, tzinfo=UTC)
    line = PackingLineFactory(packing_list=ours, packed=True, packed_at=at_that)
    page = text(signed_in.get(at(team, "show_line", line.pk)))
    assert f"by {line.packed_by}, {said}" in page


def test_a_tick_answers_htmx_with_its_row_and_the_counts(signed_in, team, ours):
    first, second = ours.lines.all()
    url = at(team, "set_line", ours.pk)
    answer = signed_in.post(url, {"pack": first.pk, "since": "0"}, headers=HTMX)
    page = text(answer)
    assert f'id="line-{first.pk}"' in page
    assert str(second.pk) not in page
    assert "1 of 2 packed" in page
    assert 'name="since" value="1"' in page
    assert "packing-changed" in answer["HX-Trigger"]


def test_two_phones_tick_and_each_hears_of_both(signed_in, team, ours):
    """The second phone has not heard of the first one's tick: its answer brings both rows."""
    first, second = ours.lines.all()
    url = at(team, "set_line", ours.pk)
    signed_in.post(url, {"pack": first.pk, "since": "0"}, headers=HTMX)
    page = text(signed_in.post(url, {"pack": second.pk, "since": "0"}, headers=HTMX))
    assert f'id="line-{first.pk}"' in page
    assert f'id="line-{second.pk}"' in page
    assert "2 of 2 packed" in page
    assert 'name="since" value="2"' in page


@pytest.mark.parametrize("length", [2, 40])
def test_a_tick_takes_the_same_queries(length, signed_in, team, django_assert_num_queries):
    packing_list = PackingListFactory(trip__team=team, lines=length)
    line, url = packing_list.lines.first(), at(team, "set_line", packing_list.pk)
    # session, person, door; in one go: take, read, tick; sums; the stamp
    with django_assert_num_queries(10):
        page = text(signed_in.post(url, {"load": line.pk, "since": "0"}, headers=HTMX))
    assert f"1 of {length} loaded" in page
    assert f"1 of {length}</span>" in page


def test_what_gets_used_up_does_not_come_home(signed_in, team, ours):
    """A press from a page that is older than the line: nothing is shown of it, and no count."""
    line = PackingLineFactory(packing_list=ours, consumable=True)
    answer = signed_in.post(at(team, "set_line", ours.pk), {"home": line.pk}, headers=HTMX)
    assert f'id="line-{line.pk}"' not in text(answer)


def test_a_strangers_tick_leaves_the_list_as_it_was(signed_in, team, ours):
    """The list is taken before the line is looked up; that is undone with it."""
    theirs = PackingLineFactory()
    for packing_list in (ours, theirs.packing_list):
        url = at(team, "set_line", packing_list.pk)
        assert signed_in.post(url, {"pack": theirs.pk}).status_code == 404
        packing_list.refresh_from_db()
        assert packing_list.state == 0
    theirs.refresh_from_db()
    assert theirs.packed_at is None


def test_what_people_type_is_never_markup(signed_in, team, ours):
    """The rows are not written by a template, which would escape by itself."""
    odd = {"name": "<b>'\"&", "unit": "<i>", "note": "<u>", "container": "<s>", "working": "<q>"}
    line = PackingLineFactory(packing_list=ours, own=False, **odd)
    page = text(signed_in.get(at(team, "show_list", ours.pk)))
    answer = signed_in.post(
        at(team, "set_line", ours.pk), {"pack": line.pk, "since": "0"}, headers=HTMX
    )
    for said in (page, text(answer)):
        assert "&lt;b&gt;&#x27;&quot;&amp;" in said
        for tag in ("<b>'", "<u>", "<s>", "<q>", "4 <i>"):
            assert tag not in said


def test_another_phone_hears_of_it(signed_in, client, team, ours, reader):
    line = ours.lines.first()
    news = at(team, "show_news", ours.pk)
    assert signed_in.get(news, {"since": "0"}).status_code == 204
    signed_in.post(at(team, "set_line", ours.pk), {"load": line.pk})
    page = text(signed_in.get(news, {"since": "0", "stage": "load"}))
    assert "1 of 2 loaded" in page
    assert 'name="unload"' in page
    signed_in.force_login(reader.user)
    assert "<button" not in text(signed_in.get(news, {"since": "0", "stage": "load"}))
    signed_in.force_login(team.memberships.get(role="owner").user)
    signed_in.post(at(team, "add_line", ours.pk), {"name": "Hat", "amount": "1", "unit": "each"})
    assert signed_in.get(news, {"since": "1"})["HX-Refresh"] == "true"
    assert signed_in.get(news, {"since": "soon"}).status_code == 400


@pytest.mark.parametrize(
    "typed",
    [{}, {"pack": "x"}, {"pack": ""}, {"pack": str(uuid4()), "load": str(uuid4())}, {"eat": "1"}],
)
def test_a_press_that_names_no_line_is_refused(signed_in, team, ours, typed):
    assert signed_in.post(at(team, "set_line", ours.pk), typed).status_code == 400


def test_foreign_and_unknown_lines_are_not_found(signed_in, team, ours):
    theirs, other = PackingLineFactory(), PackingLineFactory(packing_list__trip__team=team)
    for line in (theirs.pk, other.pk, uuid4()):
        answer = signed_in.post(at(team, "set_line", ours.pk), {"pack": line})
        assert answer.status_code == 404
    answer = signed_in.post(at(team, "set_line", theirs.packing_list_id), {"pack": theirs.pk})
    assert answer.status_code == 404
    theirs.refresh_from_db()
    assert theirs.packed_at is None


PAGES = [
    ("show_list", "list", "get", "reader"), ("show_news", "list", "get", "reader"),
    ("print_list", "list", "get", "reader"), ("set_line", "list", "post", "helper"),
    ("change_numbers", "list", "post", "cook"), ("delete_list", "list", "post", "cook"),
    ("add_line", "list", "post", "cook"), ("buy_used_up", "list", "post", "helper"),
    ("show_line", "line", "get", "reader"), ("set_have", "line", "post", "helper"),
    ("change_line", "line", "post", "cook"), ("leave_out", "line", "post", "cook"),
    ("take_again", "line", "post", "cook"), ("make_list", "trip", "post", "cook"),
    ("change_shopping", "shopping", "post", "cook"),
    ("delete_shopping", "shopping", "post", "cook"),
    ("show_shopping", None, "get", "reader"), ("set_bought", None, "post", "helper"),
    ("add_shopping", None, "post", "helper"), ("show_lists", None, "get", "reader"),
]  # fmt: skip
BELOW = {"helper": "reader", "cook": "helper"}


@pytest.mark.parametrize(("name", "what", "method", "least"), PAGES)
def test_strangers_find_nothing_and_a_lesser_role_is_told_so(
    client, request, team, ours, stranger, name, what, method, least
):
    keys = {
        "list": lambda: [ours.pk], "line": lambda: [ours.lines.first().pk],
        "trip": lambda: [TripFactory(team=team).pk],
        "shopping": lambda: [ShoppingLineFactory(packing_list=ours).pk], None: list,
    }  # fmt: skip
    args = keys[what]()
    client.force_login(stranger.user)
    assert getattr(client, method)(at(team, name, *args)).status_code == 404
    if args:  # our row under their own team
        assert getattr(client, method)(at(stranger.team, name, *args)).status_code == 404
    if least in BELOW:
        client.force_login(request.getfixturevalue(BELOW[least]).user)
        assert getattr(client, method)(at(team, name, *args)).status_code == 403
    client.force_login(request.getfixturevalue(least).user)
    assert getattr(client, method)(at(team, name, *args)).status_code not in (403, 404)


def test_a_reader_sees_rows_and_no_buttons(client, team, ours, reader):
    client.force_login(reader.user)
    page = text(client.get(at(team, "show_list", ours.pk)))
    assert ours.lines.first().name in page
    assert f'value="{ours.lines.first().pk}"' not in page


# Lines -----------------------------------------------------------------------------------------


def test_we_have_only_so_many(signed_in, team, ours):
    line = ours.lines.first()
    url = at(team, "set_have", line.pk)
    for _ in range(2):
        answer = signed_in.post(url, {"have": "3"})
        assert answer.url.endswith(f"#line-{line.pk}")
    assert "1 short, on the shopping list" in text(signed_in.get(at(team, "show_line", line.pk)))
    assert ShoppingLine.objects.get().amount == 1
    signed_in.post(url, {"enough": "1"})
    assert not ShoppingLine.objects.exists()


@pytest.mark.parametrize("have", ["-1", "three", "", "1e99", "\x00", "NaN"])
def test_bad_amounts_are_said_next_to_the_field(signed_in, team, ours, have):
    answer = signed_in.post(at(team, "set_have", ours.lines.first().pk), {"have": have})
    assert answer.status_code == 422
    assert answer.context["form"].errors["have"]
    assert answer.context["form"]["have"].value() == have


def test_add_change_and_leave_out_a_line(signed_in, team, ours):
    typed = {"name": "Lucky hat 🎩", "amount": "2", "unit": "each", "weight": "1.1"}
    signed_in.post(at(team, "add_line", ours.pk), typed)
    line = PackingLine.objects.get(name="Lucky hat 🎩")
    assert (line.own, line.mass_kg) == (True, Decimal("0.498952"))
    url = at(team, "change_line", line.pk)
    form = signed_in.get(url).context["form"]
    assert form["weight"].value() == Decimal("1.1")
    signed_in.post(url, typed | {"amount": "3", "seen": line.version})
    late = signed_in.post(url, typed | {"amount": "5", "seen": line.version})
    assert (late.status_code, late.context["form"]["amount"].value()) == (409, "5")
    signed_in.post(at(team, "leave_out", line.pk))
    assert not PackingLine.objects.filter(pk=line.pk).exists()


def test_a_change_by_hand_keeps_a_tick_made_meanwhile(signed_in, team, ours, owner):
    line = ours.lines.first()
    signed_in.post(at(team, "set_line", ours.pk), {"pack": line.pk})
    line.note = "borrowed"
    actions.change_line(line=line, seen=1, by=owner.user)  # read before the tick
    line.refresh_from_db()
    assert (line.note, line.packed_by) == ("borrowed", owner.user)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"amount": "-1"}, "amount"), ({"amount": "some"}, "amount"), ({"name": ""}, "name"),
        ({"name": "a\x00b"}, "name"), ({"note": "n" * 10_000}, "note"),
        ({"weight": "-3"}, "weight"), ({"amount": "12345678901234"}, "amount"),
        ({"box": str(uuid4())}, "box"),
    ],
)  # fmt: skip
def test_bad_lines_stay_typed(signed_in, team, ours, typed, field):
    good = {"name": "Hat", "amount": "1", "unit": "each", "note": "red"}
    answer = signed_in.post(at(team, "add_line", ours.pk), good | typed)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert answer.context["form"]["unit"].value() == "each"
    assert ours.lines.count() == 2


def test_a_foreign_container_is_no_choice(signed_in, team, ours):
    from tests.factories.inventory import ContainerFactory

    typed = {"name": "Hat", "amount": "1", "unit": "each", "box": ContainerFactory().pk}
    assert signed_in.post(at(team, "add_line", ours.pk), typed).status_code == 422


# Shopping --------------------------------------------------------------------------------------


def test_shopping_is_ticked_and_put_back(signed_in, team, ours):
    shopping = ShoppingLineFactory(packing_list=ours, group="food")
    url = at(team, "set_bought")
    for _ in range(2):
        assert signed_in.post(url, {"buy": shopping.pk}).url == at(team, "show_shopping")
    page = text(signed_in.get(at(team, "show_shopping")))
    assert "0 to buy" in page
    assert "bought by" in page
    part = signed_in.post(url, {"put_back": shopping.pk}, headers=HTMX)
    assert "<html" not in text(part)
    assert "1 to buy" in text(part)


@pytest.mark.parametrize(
    "typed", [{}, {"buy": "x"}, {"buy": str(uuid4()), "put_back": str(uuid4())}]
)
def test_a_purchase_that_names_no_line_is_refused(signed_in, team, typed):
    assert signed_in.post(at(team, "set_bought"), typed).status_code == 400


def test_a_foreign_purchase_is_not_found(signed_in, team):
    theirs = ShoppingLineFactory()
    assert signed_in.post(at(team, "set_bought"), {"buy": theirs.pk}).status_code == 404


def test_add_change_and_delete_shopping(signed_in, team, ours):
    typed = {"name": "Foil", "amount": "2", "unit": "roll", "packing_list": ours.pk}
    assert signed_in.post(at(team, "add_shopping"), typed).status_code == 302
    line = ShoppingLine.objects.get()
    signed_in.post(at(team, "change_shopping", line.pk), typed | {"amount": "3"})
    assert "3 rolls" in text(signed_in.get(at(team, "show_shopping")))
    signed_in.post(at(team, "delete_shopping", line.pk))
    assert not ShoppingLine.objects.exists()
    foreign = typed | {"packing_list": PackingListFactory().pk}
    assert signed_in.post(at(team, "add_shopping"), foreign).status_code == 422


def test_what_gets_used_up_goes_on_the_list(signed_in, team, ours):
    line = PackingLineFactory(packing_list=ours, name="Butter", consumable=True, unit="lb")
    url = at(team, "buy_used_up", ours.pk)
    page = signed_in.get(url)
    assert [row.name for row, _ in page.context["rows"]] == ["Butter"]
    for _ in range(2):
        signed_in.post(url, {"line": [str(line.pk), str(uuid4()), "x"]})
    assert ShoppingLine.objects.get().amount == 4
    assert signed_in.get(url).context["rows"] == []


@pytest.mark.parametrize("many", [1, 30])
def test_shopping_takes_the_same_queries(many, signed_in, team, ours, django_assert_num_queries):
    for _ in range(many):
        ShoppingLineFactory(packing_list=ours)
    with django_assert_num_queries(5):  # session, person, door, to buy, bought
        signed_in.get(at(team, "show_shopping"))


@pytest.mark.parametrize("many", [1, 12])
def test_lists_take_the_same_queries(many, signed_in, team, django_assert_num_queries):
    for _ in range(many):
        PackingListFactory(trip__team=team, lines=2)
    with django_assert_num_queries(5):  # session, person, door, contests, trips
        signed_in.get(at(team, "show_lists"))
