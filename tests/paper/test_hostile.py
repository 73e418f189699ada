"""Text that nobody would type, in every place that takes text."""

from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from teamops.paper import (
    Bar,
    Caution,
    Column,
    Facts,
    Group,
    Heading,
    Kind,
    Note,
    Sheet,
    Table,
    render,
)
from tests.paper.papers import text_of


def everywhere(text):
    columns = (
        Column(text, Kind.TICK),
        Column(text),
        Column(text, Kind.NUMBER, strong=True),
        Column(text, Kind.BAR),
    )
    groups = (
        Group(((False, text, text, Bar(0.5)), (None, None, None, text)), text, ((text,) * 4,)),
        Group(((text,) * 4,)),
    )
    blocks = (
        Facts(((text, text), (text, text), (text, text))),
        Heading(text),
        Table(columns, groups, sums=((text,) * 4,), grid=True),
        Note(text),
        Caution((text, text), heading=text),
    )
    return Sheet(text, text, blocks, subtitle=(text, text), link=text, printed_on=text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "\0",
        "\n" * 50,
        "<b>bold</b> & <para> </para> &lt; <img src='file:///etc/passwd'/>",
        "(unbalanced \\ ) ) string) Tj ET",
        "x" * 10_000,
        "word " * 2_000,
        "שלום (עולם) " * 300,
        "مرحبا " * 300,
        "🔥👩‍🍳" * 500,
        "e" + "\u0301" * 3_000,
        "\u202e\u2066\u202d" * 40,
        "\ud800\udfff",
        "a\u2029b\u0085c",
    ],
    ids=lambda text: repr(text[:12]),
)
def test_hostile_text_prints_everywhere(text):
    pdf = render(everywhere(text))
    count = len(PdfReader(BytesIO(pdf)).pages)
    assert f"page {count} of {count}" in text_of(pdf)


def test_markup_is_printed_as_typed():
    text = "<b>Ash & Oak</b> &amp; (x) \\n"
    printed = text_of(render(Sheet(text, text, (Note(text), Heading(text)))))
    assert printed.count(text) == 4


@settings(max_examples=25, deadline=None)
@given(st.text(st.characters(exclude_categories=()), max_size=80))
def test_any_text_prints_everywhere(text):
    assert "page 1 of" in text_of(render(everywhere(text)))
