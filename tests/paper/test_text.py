import random
import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teamops.paper import Note, Sheet, render
from teamops.paper.fonts import Hand, Style
from teamops.paper.text import PLACEHOLDER, _visual, clean, one_line, wrap
from tests.paper.papers import letters_of, text_of

BODY = Hand(Style.BODY, 9, 12)
HEBREW = str.maketrans(
    "ABCDEFGHIRW",
    "אבגדהוזחטית",
)


@pytest.mark.parametrize(
    ("said", "printed"),
    [
        ("Long tongs", "Long tongs"),
        ("<b>bold</b> & <para>", "<b>bold</b> & <para>"),
        ("nul\0 and bell\a", "nul and bell"),
        ("tab\there", "tab here"),
        ("one\r\ntwo\rthree\u2028four", "one\ntwo\nthree\nfour"),
        ("12\u00a0lb", "12\u00a0lb"),
        ("e\u0301cole", "école"),
        ("\u202eturned\u202c\ufeff", "turned"),
        ("  spaces \n", "spaces"),
        ("1⅛ in × 2 – 54 °C", "1⅛ in × 2 – 54 °C"),
    ],
)
def test_clean_keeps_what_has_a_shape(said, printed):
    assert clean(said) == printed


@pytest.mark.parametrize("char", ["刀", "한", "🔥", "\ud800", "ก", "\U000f0000", "\uffff"])
def test_a_character_without_glyph_is_shown_as_missing(char):
    assert clean(f"a{char}b") == f"a{PLACEHOLDER}b"


def test_the_placeholder_is_printed():
    text = text_of(render(Sheet("刀", "Oak and Ash", (Note("包丁 knife"),))))
    assert f"{PLACEHOLDER * 2} knife" in text
    assert text.count(PLACEHOLDER) == 3


@pytest.mark.parametrize(
    "words", ["Ελένη Άννα Σούβλας", "Нож поварской Ђорђе Їжак", "Łódź Ærø Ñandú ßtück İğne"]
)
def test_greek_cyrillic_and_latin_read_back(words):
    text = text_of(render(Sheet(words, words, (Note(words),))))
    assert text.count(words) == 3
    assert PLACEHOLDER not in text


@pytest.mark.parametrize("words", ["שרה כהן", "محمد عبد الله", "پژگ چای", "بَيْت"])
def test_hebrew_and_arabic_have_all_their_letters(words):
    pdf = render(Sheet(words, "Oak", (Note(words),)))
    assert PLACEHOLDER not in text_of(pdf)
    printed = letters_of(pdf)
    for letter in set(words) - {" "}:
        assert printed.count(letter) >= 2 * words.count(letter), unicodedata.name(letter)


@pytest.mark.outside("Unicode Standard chapter 9.2, Arabic cursive joining; forms by chart U+FE70")
def test_arabic_letters_join():
    """Meem, hah, meem, dal: initial, medial, medial, final; and lam-alef is one ligature."""
    names = [unicodedata.name(char) for char in clean("محمد")]
    assert [name.removesuffix(" FORM").split()[-1] for name in names] == [
        "INITIAL",
        "MEDIAL",
        "MEDIAL",
        "FINAL",
    ]
    assert clean("لا") == "\ufefb"


@pytest.mark.outside("Unicode Standard Annex #9, rule N0, its three examples")
@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("AB(CD[&ef]!)gh", "gh(![ef&]DC)BA"),
        ("smith (fabrikam ARABIC) HEBREW", "WERBEH (CIBARA fabrikam) smith"),
        ("ARABIC book(s)", "book(s) CIBARA"),
    ],
)
def test_brackets_turn_with_their_words(said, shown):
    """Capitals stand for right-to-left letters, as in the annex; its paragraphs run to the left."""
    assert _visual(said.translate(HEBREW), "R") == shown.translate(HEBREW)


def test_numbers_keep_their_order_beside_hebrew():
    assert wrap("שרה 12 lb", BODY, 500) == ("lb 12 הרש",)
    assert wrap("Sara (שרה) 12", BODY, 500) == ("Sara (הרש) 12",)


def test_each_wrapped_line_is_turned_by_itself():
    first, second = wrap("אאא בבב", BODY, BODY.width("אאא בב"))
    assert (first, second) == ("אאא", "בבב")


def test_wrap_breaks_at_spaces_first_and_inside_words_last():
    width = BODY.width("long tongs")
    assert wrap("long tongs and", BODY, width) == ("long tongs", "and")
    assert wrap("a\n\nb", BODY, width) == ("a", "", "b")
    assert "".join(wrap("x" * 500, BODY, width)) == "x" * 500
    assert wrap("ab", BODY, 0) == ("a", "b")


def test_an_unbreakable_space_holds():
    width = BODY.width("weighs 12")
    assert wrap("weighs 12\u00a0lb", BODY, width) == ("weighs", "12\u00a0lb")


def test_too_many_lines_end_with_an_ellipsis():
    lines = wrap("word " * 50, BODY, 100, most=3)
    assert len(lines) == 3
    assert lines[-1].endswith("…")
    assert BODY.width(lines[-1]) <= 100
    assert one_line("a\nb", BODY, 100) == "a b"


ANY_TEXT = st.text(st.characters(exclude_categories=()), max_size=60)


@given(ANY_TEXT, st.floats(0, 300))
def test_any_text_wraps_inside_its_width(text, width):
    text = clean(text)
    for line in wrap(text, BODY, width):
        assert len(line) <= 1 or BODY.width(line) <= width + 1e-9


@given(ANY_TEXT)
def test_any_text_becomes_characters_that_every_face_draws(text):
    text = clean(text)
    shown = set("".join(wrap(text, BODY, 200)))
    for style in Style:
        assert shown - {"\n"} <= Hand(style, 9, 12).fitting("".join(shown)).style.face.widths.keys()


@given(ANY_TEXT)
def test_wrapping_loses_only_spaces(text):
    text = clean(text)
    lines = wrap(text, BODY, 50)
    counted = sorted(char for char in text if char not in " \n")
    mirrored = str.maketrans("()[]{}<>«»", "(([[{{<<««")
    shown = sorted("".join(lines).replace(" ", ""))
    if any(unicodedata.bidirectional(char) in ("R", "AL") for char in text):
        assert len(shown) == len(counted)  # brackets and their like may have turned
    else:
        assert sorted(c.translate(mirrored) for c in shown) == sorted(
            c.translate(mirrored) for c in counted
        )


@settings(max_examples=40, deadline=None)
@given(ANY_TEXT, st.lists(ANY_TEXT, max_size=4))
def test_any_text_prints(title, notes):
    pdf = render(Sheet(title, title, tuple(map(Note, notes)), subtitle=tuple(notes), link=title))
    assert pdf.startswith(b"%PDF-")
    assert "page 1 of 1" in text_of(pdf)


def test_every_plane_of_unicode_goes_through():
    codes = random.Random(7).sample(range(0x110000), 4000)
    text = clean(" ".join(map(chr, codes)))
    assert PLACEHOLDER in text
    assert "page 1 of" in text_of(render(Sheet("All", "Oak", (Note(text),))))
