"""Every colour of the look can be read: contrast worked out from the stylesheet itself."""

import re
from pathlib import Path

import pytest

CSS = Path("static/css/teamops.css").read_text()
INKS = ("ink", "muted", "brick", "pine", "amber", "steel")
GROUNDS = ("paper", "card", "wash", "brick-wash", "pine-wash", "amber-wash", "steel-wash")
TEXT = [(ink, ground) for ink in INKS for ground in GROUNDS] + [
    ("on-fill", "fill"),
    ("on-bar", "bar"),
]
SHAPES = [("edge", "paper"), ("edge", "card"), ("edge", "wash"), ("fill", "card"),
          ("loss", "card"), ("bar-mark", "bar")]  # fmt: skip


def tokens(block: str) -> dict[str, str]:
    return dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", block))


LIGHT = tokens(CSS.partition("@media (prefers-color-scheme: dark)")[0])
DARK = tokens(CSS.partition("@media (prefers-color-scheme: dark)")[2].partition("\n}\n")[0])


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, from 0 to 1."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.outside("WCAG 2.2, definitions of contrast ratio and relative luminance")
def test_contrast_is_reckoned_as_the_standard_defines_it():
    """Black on white is 21 to 1 by definition; #767676 is the lightest grey that passes AA."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


def test_dark_names_every_colour_that_light_does():
    assert LIGHT.keys() == DARK.keys()
    assert len(LIGHT) > 15


@pytest.mark.outside("WCAG 2.2, success criterion 1.4.3: text 4.5 to 1")
@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("ink", "ground"), TEXT)
def test_text_can_be_read(scheme, ink, ground):
    assert contrast(scheme[ink], scheme[ground]) >= 4.5


@pytest.mark.outside("WCAG 2.2, success criterion 1.4.11: shapes and field edges 3 to 1")
@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("shape", "ground"), SHAPES)
def test_shapes_can_be_told_from_their_ground(scheme, shape, ground):
    assert contrast(scheme[shape], scheme[ground]) >= 3


def test_colours_are_named_once():
    """Outside the tokens a part names a token, or black and white for paper."""
    parts = CSS.partition("/* Ground")[2].partition("/* Paper ")[0]
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b", parts)) <= {"#fff"}


def test_each_token_used_is_there():
    sheets = "\n".join(path.read_text() for path in Path("static/css").glob("*.css"))
    assert set(re.findall(r"var\(--([a-z0-9-]+)\)", sheets)) <= set(
        re.findall(r"--([a-z0-9-]+):", sheets)
    )
