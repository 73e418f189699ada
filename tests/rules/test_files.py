"""A rulebook's file: what goes out comes in unchanged, and what is no rulebook is refused."""

import json
from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from teamops.rules.files import FIELDS, MOST_BYTES, file_of, read_file, written
from teamops.rules.models import Criterion, Rulebook
from tests.factories.rules import RulebookFactory

TEXT = st.text(
    st.characters(exclude_characters="\0", exclude_categories=["Cs"]), min_size=1, max_size=15
).filter(str.strip)
NUMBERS = st.decimals(0, 999, places=3)
COUNTS = st.integers(0, 500)


@st.composite
def books(draw) -> tuple[Rulebook, list[Criterion]]:
    """Any rulebook that can be kept, with decimals as the database gives them."""
    names = draw(st.lists(st.sampled_from("abcdefgh"), min_size=1, max_size=4, unique=True))
    criteria = []
    for order, key in enumerate(names, start=1):
        low = draw(st.none() | NUMBERS)
        high = draw(st.none() | NUMBERS)
        if low is not None and high is not None and low >= high:
            low, high = None, high
        step = draw(st.sampled_from([None, Decimal("0.500"), Decimal("0.1"), Decimal(1)]))
        weight = draw(st.decimals(-9, 999, places=4))
        criteria.append(
            Criterion(order=order, key=key, name=draw(TEXT), weight=weight, least=low, most=high,
                      step=step)
        )  # fmt: skip
    judges = draw(st.integers(1, 99))
    steps = [f"sum:{key}:kept" for key in names] + draw(
        st.sampled_from([[], ["count_of:9.5"], ["dropped_total", "draw"], ["head_judge", "shared"]])
    )
    rulebook = Rulebook(
        name=draw(TEXT), edition=draw(TEXT), source=draw(TEXT), box_rules=draw(TEXT),
        sheets_expected=judges, sheets_least=draw(st.integers(1, judges)),
        missing_sheet=draw(st.sampled_from(Rulebook.MissingSheet.values)),
        aggregate=draw(st.sampled_from(Rulebook.Aggregate.values)),
        factor=draw(st.decimals(0, 9999, places=4)), round_places=draw(st.integers(0, 6)),
        outlier_distance=draw(st.none() | NUMBERS), penalty_mark=draw(st.none() | NUMBERS),
        late=draw(st.sampled_from(Rulebook.Late.values)), late_points=draw(st.none() | NUMBERS),
        window_minutes=draw(st.none() | COUNTS), protest_minutes=draw(st.none() | COUNTS),
        garnish=draw(st.sampled_from(Rulebook.Allowed.values)),
        pieces_least=draw(st.none() | COUNTS),
        valid_from=draw(st.none() | st.dates(date(1990, 1, 1))), tie_break=steps,
    )  # fmt: skip
    return rulebook, criteria


def said(rulebook: Rulebook, criteria) -> list:
    """All that a rulebook says, as values."""
    own = [getattr(rulebook, name) for name in FIELDS]
    columns = ("order", "key", "name", "weight", "least", "most", "step", "panel")
    return [own, [[getattr(row, name) for name in columns] for row in criteria]]


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(books())
def test_what_goes_out_comes_in_unchanged(book):
    """To the last digit and letter, and once more the same text."""
    rulebook, criteria = book
    text = written(rulebook, criteria)
    read = read_file(text.encode())
    assert said(read.rulebook, read.criteria) == said(rulebook, criteria)
    assert written(read.rulebook, read.criteria) == text


def example(**change) -> bytes:
    record = {"teamops_rulebook": 1, "name": "Long Table",
              "criteria": [{"key": "taste", "name": "Taste", "most": "10"}]}  # fmt: skip
    return json.dumps(record | change).encode()


def test_what_a_file_leaves_out_is_as_in_a_blank_one():
    book = read_file(example())
    assert (book.rulebook.sheets_expected, book.rulebook.factor) == (5, 1)
    assert (book.criteria[0].weight, book.criteria[0].least) == (1, None)


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"%PDF-1.4 \xff", "cannot be read as JSON"),
        (b"{", "cannot be read as JSON"),
        (b"[" * 90_000, "cannot be read as JSON"),
        (b"[]", "does not say that it is one"),
        (b'{"name": "x"}', "does not say that it is one"),
        (b" " * (MOST_BYTES + 1), "more than 100 kB"),
        (example(teamops_rulebook=2), "This file is of version 2; version 1 can be read."),
        (example(teamops_rulebook=True), "version"),
        (example(criteria=[]), "It says nothing that judges mark"),
        (example(criteria="taste"), "It says nothing that judges mark"),
        (example(criteria=[5]), "Criterion 1: it is not written as one."),
        (example(criteria=[{"key": "a"}]), "Criterion 1: it has no name."),
        (example(criteria=[{"key": "a b", "name": "A"}]), "Criterion 1: Key: "),
        (example(criteria=[{"key": "a", "name": "A", "most": "ten"}]), "“ten”, which is not a"),
        (example(criteria=[{"key": "a", "name": "A", "most": 10}]), "a number between quotes"),
        (example(criteria=[{"key": "a", "name": "A", "most": "1e5"}]), "which is not a number"),
        (example(criteria=[{"key": "a", "name": "A", "most": "99999"}]), "Criterion 1: Most: "),
        (example(criteria=[{"key": "a", "name": "A", "smell": "9"}]), "smell is not known"),
        (example(criteria=[{"key": "a", "name": "A"}] * 2), "Two criteria have the same"),
        (example(name=""), "The rulebook has no name."),
        (example(name=7), "Name must be a text between quotes."),
        (example(name="a\0"), "holds a character"),
        (example(name="x" * 81), "Name: "),
        (example(sheets_expected="5"), "must be a whole number without quotes"),
        (example(sheets_expected=5.5), "must be a whole number without quotes"),
        (example(sheets_expected=True), "must be a whole number without quotes"),
        (example(sheets_expected=0), "Judges at a table: "),
        (example(sheets_expected=20000), "More than 99 judges"),
        (example(window_minutes=20000), "Nothing here goes beyond 9999"),
        (example(aggregate="best"), "Aggregate: "),
        (example(valid_from="May"), "Valid from: "),
        (example(tie_break=["sum:smell:kept"]), "Its criteria are taste."),
        (example(tie_break="draw"), "Tie break must be a list."),
        (example(panels=[{"name": "blind"}]), "Each panel needs a name"),
        (example(team="7"), "“team” is not known in this format."),
        (example(drop_scope="sheet", drop_low=5), "That drops every sheet."),
    ],
)  # fmt: skip
def test_what_is_no_rulebook_is_refused_in_words(raw, words):
    with pytest.raises(ValidationError) as refused:
        read_file(raw)
    assert words in " ".join(refused.value.messages)


def test_out_and_in_through_the_pages(signed_in, team):
    shared = RulebookFactory(name="Long Table", edition="2026", late_points="2.5")
    url = reverse("rules:export_rulebook", args=[team.slug, shared.pk])
    answer = signed_in.get(url)
    assert 'filename="long-table-2026.rulebook.json"' in answer["Content-Disposition"]
    url = reverse("rules:import_rulebook", args=[team.slug])
    shown = signed_in.post(url, {"file": SimpleUploadedFile("book.json", answer.content)})
    assert shown.status_code == 200
    assert "Nothing is kept yet." in shown.content.decode()
    assert not Rulebook.objects.filter(team=team).exists()
    kept = signed_in.post(url, {"text": shown.context["text"], "press": "keep"})
    own = Rulebook.objects.get(team=team)
    assert kept.url == reverse("rules:show_rulebook", args=[team.slug, own.pk])
    assert file_of(own) == file_of(shared)
    again = signed_in.post(url, {"text": shown.context["text"], "press": "keep"})
    assert again.status_code == 422
    assert "You have this edition already." in again.content.decode()


@pytest.mark.parametrize("sent", [{}, {"text": "{}"}, {"text": "x" * (MOST_BYTES + 1)}])
def test_a_bad_file_stays_on_the_page(signed_in, team, sent):
    url = reverse("rules:import_rulebook", args=[team.slug])
    answer = signed_in.post(url, sent)
    assert answer.status_code == 422
    assert answer.context["form"].errors
    assert sent.get("text", "")[:50] in answer.content.decode()


def test_the_format_page_names_every_field(signed_in, team):
    text = signed_in.get(reverse("rules:show_format", args=[team.slug])).content.decode()
    assert all(f"<code>{name}</code>" in text for name in FIELDS)
