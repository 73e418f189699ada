"""The rulebook form: what is typed is kept, totalled, refused beside its box, never lost."""

import random
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from teamops.rules.forms import BookForm, Draft, RulebookChoice
from teamops.rules.models import Rulebook
from teamops.rules.queries import choice_label, offered_rulebooks
from tests.factories.contests import EntryFactory
from tests.factories.rules import RulebookFactory

ROWS = [("Taste", "1", "10", "0.5", "2"), ("Looks", "1", "10", "0,5", "")]


def page(*rows: tuple[str, ...], press: str = "save", steps=(), **fields: str) -> dict[str, Any]:
    """What the page sends."""
    rows = rows or tuple(ROWS)
    columns = dict(
        zip(("name", "least", "most", "step", "weight"), zip(*rows, strict=True), strict=True)
    )
    sent: dict[str, Any] = {f"c-{name}": list(values) for name, values in columns.items()}
    sent["c-key"] = [f"new-{n}" for n, _ in enumerate(rows, start=1)]
    sent["c-panel"] = [""] * len(rows)
    start = {"name": "Our book", "edition": "1", "sheets_expected": "5", "drop_scope": "none",
             "aggregate": "sum", "missing_sheet": "none", "round_where": "display",
             "direction": "high", "place_method": "skip", "rounds": "last"}  # fmt: skip
    return sent | start | {"press": press, "t": list(steps)} | fields


@pytest.fixture
def url(team) -> str:
    return reverse("rules:add_rulebook", args=[team.slug])


def text_of(answer) -> str:
    return answer.content.decode()


def test_a_rulebook_is_written(signed_in, team, url):
    steps = ["sum:new-2:kept", "count_of:10", "shared"]
    answer = signed_in.post(url, page(steps=steps, drop_scope="sheet", drop_low="1", late="docked",
                                      late_points="2,5", piece="One whole steak"))  # fmt: skip
    book = Rulebook.objects.get(team=team)
    assert answer.status_code == 302
    rows = [(row.key, row.order, row.weight, row.step) for row in book.criteria.all()]
    assert rows == [("taste", 1, 2, Decimal("0.5")), ("looks", 2, 1, Decimal("0.5"))]
    assert book.tie_break == ["sum:looks:kept", "count_of:10", "shared"]
    assert (book.late_points, book.drop_low, book.factor) == (Decimal("2.5"), 1, 1)
    assert book.history.get().history_user is not None


def test_a_blank_page_and_a_copy(signed_in, team, url):
    assert "Name what judges mark, and a worked example appears here." in text_of(
        signed_in.get(url)
    )
    shared = RulebookFactory(name="Long Table")
    copy = text_of(signed_in.get(url, {"copy": shared.pk}))
    assert 'value="Long Table"' in copy
    assert 'value="Overall impression"' in copy
    assert choice_label(shared) == "Long Table 1 · 5 criteria, 5 judges · shared"
    assert choice_label(shared) in copy


def test_rulebooks_to_choose_stand_under_whose_they_are(team):
    """So that a phone's narrow list need not say it in each, after all else."""
    RulebookFactory(name="Long Table")
    RulebookFactory(name="House", team=team)
    field = RulebookChoice(offered_rulebooks(team), empty_label=None)
    groups = {heading: [str(words) for _, words in some] for heading, some in field.choices}
    assert groups == {
        "Your own": ["House 1 · 5 criteria, 5 judges"],
        "Shared by all teams": ["Long Table 1 · 5 criteria, 5 judges"],
    }
    assert field.clean(offered_rulebooks(team).first().pk).name == "House"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"name": ""}, "Give the rulebook a name."),
        ({"sheets_expected": "five"}, "five"),
        ({"sheets_expected": "100"}, "More than 99 judges"),
        ({"sheets_least": "6"}, "A total cannot need more sheets than judges are expected."),
        ({"drop_low": "1"}, "Say what is dropped"),
        ({"drop_scope": "sheet", "drop_low": "5"}, "That drops every sheet."),
        ({"valid_from": "2026-05-01", "valid_to": "2026-04-01"}, "It cannot end before it begins."),
        ({"pieces_least": "7", "pieces_most": "6"}, "The fewest pieces must not be above the most"),
        ({"c-least": ["x1", "1"]}, "x1"),
        ({"c-least": ["10", "1"]}, "The lowest mark must be below the highest."),
        ({"c-step": ["0", "1"]}, "A step must be above 0."),
        ({"c-name": ["", ""]}, "Name at least one thing that judges mark."),
        ({"t": ["coin"]}, "Step one of the tie is not known: “coin”."),
        ({"t": ["draw", "shared"]}, "Nothing can come after a draw."),
        ({"p-name": ["on site"], "p-expected": ["3"], "p-least": ["1"]}, "No criterion is marked"),
        ({"p-name": ["on site"], "p-expected": ["x"], "p-least": ["1"]}, "Enter a whole number."),
        ({"name": "a\0b"}, "This holds a character"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_beside_its_box_and_stays_typed(
    signed_in, team, url, change, words
):
    answer = signed_in.post(url, page(source="Typed by hand", **change))
    text = text_of(answer)
    assert answer.status_code == 422
    assert words in text
    assert "Typed by hand" in text
    assert not Rulebook.objects.filter(team=team).exists()


def test_an_edition_is_kept_once(signed_in, team, url):
    RulebookFactory(team=team, name="Our book", edition="1")
    answer = signed_in.post(url, page())
    assert answer.status_code == 422
    assert "You have this edition already." in text_of(answer)
    assert Rulebook.objects.filter(team=team).count() == 1


@pytest.mark.parametrize(
    ("press", "names", "focus"),
    [
        ("c-add", ["Taste", "Looks", ""], "c2-c-name"),
        ("c-down-0", ["Looks", "Taste"], "c1-c-name"),
        ("c-up-1", ["Looks", "Taste"], "c0-c-name"),
        ("c-up-0", ["Taste", "Looks"], "c0-c-name"),
        ("c-remove-0", ["Looks"], "c0-c-name"),
        ("c-remove-9", ["Taste", "Looks"], ""),
        ("c-remove-x", ["Taste", "Looks"], ""),
        ("nonsense", ["Taste", "Looks"], ""),
    ],
)
def test_rows_move_without_javascript(signed_in, url, press, names, focus):
    answer = signed_in.post(url, page(press=press, sheets_expected="five", source="Still here"))
    assert answer.status_code == 200
    shown = answer.context["sheet"].draft.criteria
    assert [row["name"] for row in shown] == names
    assert answer.context["focus"] == focus
    assert "Still here" in text_of(answer)
    assert 'value="five"' in text_of(answer)
    assert not Rulebook.objects.filter(name="Our book").exists()


def test_a_row_taken_out_takes_its_steps_along(signed_in, url):
    steps = ["sum:new-1:kept", "sum:new-2:kept", "shared"]
    answer = signed_in.post(url, page(press="c-remove-0", steps=steps))
    assert answer.context["sheet"].draft.steps == ["sum:new-2:kept", "shared"]


def test_the_example_adds_up_what_is_typed(signed_in, team):
    """Two judges, taste counts twice: 2 x 9 + 8 = 26, 2 x 7 + 6.5 = 20.5, together 46.5."""
    url = reverse("rules:work_out", args=[team.slug])
    marks = {"x1-new-1": "9", "x1-new-2": "8", "x2-new-1": "7", "x2-new-2": "6,5"}
    signs = {"s-new-1": "1|10|0.5", "s-new-2": "1|10|0,5"}
    sent = page(sheets_expected="2", steps=["sum:new-1:kept", "shared"]) | marks | signs
    text = text_of(signed_in.post(url, sent))
    assert "26 + 20.5 = 46.5." in text
    assert "Example</a>: <b>46.5</b> of 60" in text
    assert "Taste marks on the sheets that count" in text
    dropped = sent | {"drop_scope": "sheet", "drop_low": "1"}
    text = text_of(signed_in.post(url, dropped))
    assert "Judge 2 does not count: lowest, dropped." in text
    assert "<s>20.5</s>" in text


def test_a_changed_scale_gets_new_marks_a_kept_one_keeps_them(signed_in, team):
    url = reverse("rules:work_out", args=[team.slug])
    marks = {"x1-new-1": "9", "x1-new-2": "3"}
    signs = {"s-new-1": "1|10|0.5", "s-new-2": "1|5|1"}
    answer = signed_in.post(url, page(sheets_expected="1") | marks | signs)
    cells = answer.context["example"].panels[0].lines[0].cells
    assert cells[0].value == "9"
    assert cells[1].value != "3"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"c-name": ["", ""]}, "Name what judges mark, and a worked example appears here."),
        ({"c-most": ["ten", "10"]}, "Taste, highest: Enter a number."),
        ({"drop_scope": "sheet", "drop_low": "9"}, "That drops every sheet."),
        ({"x1-new-1": "nine", "s-new-1": "1|10|0.5"}, "“nine” is not a mark, so it is left out."),
    ],
)
def test_the_example_says_what_is_in_its_way(signed_in, team, change, words):
    url = reverse("rules:work_out", args=[team.slug])
    assert words in text_of(signed_in.post(url, page() | change))
    assert signed_in.post(url).status_code == 200


def test_work_it_out_without_javascript(signed_in, url):
    answer = signed_in.post(url, page(press="work"))
    assert answer.status_code == 200
    assert "A full box: <b>150</b>." in text_of(answer)
    wrong = signed_in.post(url, page(press="work", name=""))
    assert wrong.status_code == 422


def test_panels_add_up(signed_in, team, url):
    sent = page(press="work", **{"c-panel": ["blind", "on site"]})
    sent |= {"p-name": ["blind", "on site"], "p-expected": ["4", "3"], "p-least": ["", "2"]}
    answer = signed_in.post(url, sent)
    assert [table.name for table in answer.context["example"].panels] == ["blind", "on site"]
    assert [len(table.lines) for table in answer.context["example"].panels] == [4, 3]
    assert signed_in.post(url, sent | {"press": "save"}).status_code == 302
    book = Rulebook.objects.get(team=team)
    assert book.panels[0] == {"name": "blind", "expected": 4, "least": 1}
    assert choice_label(book) == "Our book 1 · 2 criteria, 4 blind and 3 on site judges"


def change_url(book: Rulebook, what: str = "change_rulebook") -> str:
    return reverse(f"rules:{what}", args=[book.team.slug, book.pk])


def sent_as_shown(answer, **change: Any) -> dict[str, Any]:
    """What the page would send, pressed as it stands."""
    draft: Draft = answer.context["sheet"].draft
    sent: dict[str, Any] = dict(draft.fields) | {"press": "save", "t": draft.steps}
    for name in ("key", "name", "weight", "least", "most", "step", "panel"):
        sent[f"c-{name}"] = [row[name] for row in draft.criteria]
    return sent | {"seen": answer.context.get("seen") or ""} | change


def test_a_change_keeps_criteria_and_their_keys(signed_in, team):
    book = RulebookFactory(team=team)
    before = list(book.criteria.values_list("pk", flat=True))
    answer = signed_in.get(change_url(book))
    sent = sent_as_shown(answer, window_minutes="20")
    sent["c-name"][0] = "Looks"
    assert signed_in.post(change_url(book), sent).status_code == 302
    book.refresh_from_db()
    assert book.window_minutes == 20
    assert list(book.criteria.values_list("pk", flat=True)) == before
    assert book.criteria.get(key="appearance").name == "Looks"
    assert signed_in.post(change_url(book), sent).status_code == 409  # it was seen as it was before


def test_somebody_elses_change_is_shown_beside_ours(signed_in, team):
    book = RulebookFactory(team=team)
    answer = signed_in.get(change_url(book))
    book.window_minutes = 12
    book.save()
    sent = sent_as_shown(answer, window_minutes="20")
    conflict = signed_in.post(change_url(book), sent)
    assert conflict.status_code == 409
    assert "12 minutes" in text_of(conflict)
    assert 'value="20"' in text_of(conflict)
    again = sent | {"seen": conflict.context["seen"]}
    assert signed_in.post(change_url(book), again).status_code == 302
    book.refresh_from_db()
    assert book.window_minutes == 20


def test_a_frozen_book_is_not_changed(signed_in, team):
    book = RulebookFactory(team=team)
    answer = signed_in.get(change_url(book))
    book.freeze()
    kept = signed_in.post(change_url(book), sent_as_shown(answer, window_minutes="20"))
    assert kept.status_code == 302
    book.refresh_from_db()
    assert book.window_minutes is None


def test_a_shared_book_is_nobodys_to_change(signed_in, team):
    book = RulebookFactory()
    for what in ("change_rulebook", "put_away", "take_out", "delete_rulebook"):
        url = reverse(f"rules:{what}", args=[team.slug, book.pk])
        assert signed_in.post(url).status_code == 404


def test_a_new_edition_follows_and_says_what_changed(signed_in, team):
    book = RulebookFactory(team=team, edition="2025")
    book.freeze()
    answer = signed_in.get(change_url(book, "make_edition"))
    assert answer.context["sheet"].draft.fields["edition"] == "2026"
    sent = sent_as_shown(answer, window_minutes="20")
    sent["c-weight"][2] = "2"
    assert signed_in.post(change_url(book, "make_edition"), sent).status_code == 302
    new = Rulebook.objects.get(team=team, edition="2026")
    assert (new.follows, new.family, new.frozen_at) == (book, book.family, None)
    shown = text_of(signed_in.get(change_url(new, "show_rulebook")))
    assert "1 to 10 in half marks, counts 2 times" in shown
    assert "nothing said" in shown
    assert "20 minutes" in shown
    assert str(new.pk) in text_of(signed_in.get(change_url(book, "show_rulebook")))


def test_an_exception_goes_back_to_who_asked(signed_in, team):
    book = RulebookFactory()
    url = reverse("rules:make_exception", args=[team.slug, book.pk])
    answer = signed_in.get(url, {"next": "/t/oak-and-ash/entries/1/change/?a=1"})
    sent = sent_as_shown(answer, next=answer.context["next"])
    sent |= {"exception_why": "No garnish this year", "garnish": "no"}
    kept = signed_in.post(url, sent)
    new = Rulebook.objects.get(team=team)
    assert kept.url == f"/t/oak-and-ash/entries/1/change/?a=1&rulebook={new.pk}"
    assert (new.follows, new.exception_why) == (book, "No garnish this year")
    assert new.edition == "1 exception"


@pytest.mark.parametrize("address", ["https://elsewhere.example/x", "//elsewhere.example", "x"])
def test_an_exception_goes_to_no_other_site(signed_in, team, address):
    book = RulebookFactory()
    url = reverse("rules:make_exception", args=[team.slug, book.pk])
    answer = signed_in.get(url, {"next": address})
    sent = sent_as_shown(answer, next=address, exception_why="Rain")
    kept = signed_in.post(url, sent)
    new = Rulebook.objects.get(team=team)
    assert kept.url == reverse("rules:show_rulebook", args=[team.slug, new.pk])


def test_an_exception_needs_its_reason(signed_in, team):
    book = RulebookFactory()
    url = reverse("rules:make_exception", args=[team.slug, book.pk])
    answer = signed_in.post(url, sent_as_shown(signed_in.get(url), source="Typed"))
    assert answer.status_code == 422
    assert answer.context["sheet"].form.errors["exception_why"]
    assert "Typed" in text_of(answer)


def test_a_used_book_is_put_away_not_deleted(signed_in, team):
    book = RulebookFactory(team=team)
    EntryFactory(contest__team=team, rulebook=book)
    for _ in range(2):
        answer = signed_in.post(change_url(book, "delete_rulebook"), follow=True)
        assert "put it away instead" in text_of(answer)
    for _ in range(2):
        signed_in.post(change_url(book, "put_away"))
    book.refresh_from_db()
    assert book.put_away_at
    for _ in range(2):
        signed_in.post(change_url(book, "take_out"))
    book.refresh_from_db()
    assert book.put_away_at is None


def test_an_unused_book_is_deleted(signed_in, team):
    book = RulebookFactory(team=team)
    signed_in.post(change_url(book, "delete_rulebook"))
    assert not Rulebook.objects.filter(pk=book.pk).exists()


def test_a_book_that_another_follows_stays(signed_in, team, owner):
    book = RulebookFactory(team=team)
    RulebookFactory(team=team, follows=book, family=book.family)
    signed_in.post(change_url(book, "delete_rulebook"))
    assert Rulebook.objects.filter(pk=book.pk).exists()


def test_making_it_ours_twice_is_once(signed_in, team):
    shared = RulebookFactory(name="Long Table")
    url = reverse("rules:make_ours", args=[team.slug, shared.pk])
    for _ in range(2):
        answer = signed_in.post(url)
    own = Rulebook.objects.get(team=team)
    assert answer.url == reverse("rules:show_rulebook", args=[team.slug, own.pk])
    assert (own.name, own.follows, own.criteria.count()) == ("Long Table", shared, 5)


@pytest.mark.parametrize("what", ["add_rulebook", "import_rulebook"])
def test_a_helper_writes_none(client, helper, team, what):
    client.force_login(helper.user)
    assert client.get(reverse(f"rules:{what}", args=[team.slug])).status_code == 403


def test_what_needs_a_look_stands_at_the_top_too(signed_in, url):
    text = text_of(signed_in.post(url, page(**{"c-weight": ["x", ""], "t": ["coin"]})))
    assert 'id="problems"' in text
    assert '<a href="#c0-c-weight">Weight</a>: Enter a number.' in text


def test_the_examples_marks_outlive_an_error(signed_in, url):
    sent = page(**{"c-weight": ["x", ""]}) | {"x1-new-1": "9.5", "s-new-1": "1|10|0.5"}
    text = text_of(signed_in.post(url, sent))
    assert '<input type="hidden" name="x1-new-1" value="9.5">' in text


def test_a_reader_sees_a_rulebook_and_no_way_to_change_it(client, reader, team):
    client.force_login(reader.user)
    book = RulebookFactory(team=team)
    text = text_of(client.get(change_url(book, "show_rulebook")))
    assert "A full box earns <b>250</b>." in text
    for words in ("Change it", "Make a new edition", "Put it away", "Delete it"):
        assert words not in text


ODD = ["", " ", "0", "-1", "9,5", "½", "x", "99999999999", "1e9", "NaN", "-0", "0.00001", "a\0b",
       "sum:new-1:kept", "count_of:", "count_of:1.5", "draw", "none", "sheet", "rank_sum", "low",
       "criterion", "average_remaining", "closest_pair", "median", "2026-02-30",
       "é" * 400]  # fmt: skip


@pytest.mark.parametrize("number", range(4))
def test_whatever_is_typed_gets_an_answer(signed_in, team, url, number):
    """Boxes filled at random, with the same dice every time: kept or refused, never a crash."""
    dice = random.Random(number)
    work_out = reverse("rules:work_out", args=[team.slug])
    for _ in range(4):
        sent = page(press=dice.choice(["save", "work", "c-up-1", "p-add"]))
        names = [*BookForm.base_fields, "t", "p-name", "p-expected", "p-least", "x1-new-1"]
        sent |= {name: dice.choice(ODD) for name in dice.sample(names, 6)}
        for name in ("c-key", "c-name", "c-least", "c-most", "c-step", "c-weight", "c-panel"):
            if dice.random() < 0.3:
                sent[name] = dice.choices(ODD, k=dice.randint(0, 3))
        assert signed_in.post(url, sent).status_code in (200, 302, 422)
        assert signed_in.post(work_out, sent).status_code == 200
