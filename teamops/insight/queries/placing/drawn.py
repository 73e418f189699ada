"""The chances of each place as a small picture, drawn with attributes."""

from collections.abc import Sequence

from django.utils.safestring import SafeString

from teamops.calc.placing import percent_words
from teamops.calc.words import ordinal

WIDTH, FOOT, TOP = 360.0, 120.0, 22.0  # of the drawing, in its own units
MOST = 40  # places drawn; what is left is in the words


def draw_chances(chances: Sequence[float], prizes: int) -> SafeString:
    """A bar a place, first to last; the places that pay under a bracket with their chance."""
    shown = chances[:MOST]
    wide = WIDTH / len(shown)
    highest = max(shown) or 1.0
    parts = []
    for place, chance in enumerate(shown, start=1):
        high = round((FOOT - TOP) * chance / highest, 1)
        paid = ' class="paid"' if place <= prizes else ""
        parts.append(
            f'<rect{paid} x="{(place - 1) * wide + wide * 0.1:.1f}" y="{FOOT - high:.1f}" '
            f'width="{wide * 0.8:.1f}" height="{high}"/>'
        )
    step = 1 if len(shown) <= 8 else 5
    for place in range(1, len(shown) + 1):
        if place == 1 or place % step == 0:
            at, anchor = _label(place, len(shown), wide)
            parts.append(
                f'<text x="{at:.1f}" y="{FOOT + 15}" text-anchor="{anchor}">{ordinal(place)}</text>'
            )
    return SafeString(
        f'<svg class="chances" viewBox="0 0 {WIDTH:.0f} 142" role="img" '
        f'aria-label="{_words(chances, prizes)}">{"".join(parts)}{_bracket(chances, prizes, wide)}'
        "</svg>"
    )


def _label(place: int, places: int, wide: float) -> tuple[float, str]:
    """Where a place's name stands, and which end of it: the outer ones stay within the picture."""
    if wide < 30 and place == 1:
        return 0.0, "start"
    if wide < 30 and place == places:
        return WIDTH, "end"
    return (place - 0.5) * wide, "middle"


def _bracket(chances: Sequence[float], prizes: int, wide: float) -> str:
    end = min(prizes, MOST) * wide
    told = _paid(chances, prizes)
    at, anchor = (0.0, "start") if end < WIDTH / 2 else (end, "end")
    return (
        f'<path d="M0 {TOP} V{TOP - 4} H{end:.1f} V{TOP}"/>'
        f'<text x="{at:.1f}" y="{TOP - 9}" text-anchor="{anchor}">{told}</text>'
    )


def _paid(chances: Sequence[float], prizes: int) -> str:
    what = "winning" if prizes == 1 else f"the first {prizes}"
    return f"{what}: {percent_words(sum(chances[:prizes]))}"


def _words(chances: Sequence[float], prizes: int) -> str:
    best = max(range(len(chances)), key=lambda index: chances[index])
    return (
        f"Chances of the places 1 to {len(chances)}: likeliest is the {ordinal(best + 1)} with "
        f"{percent_words(chances[best])}; {_paid(chances, prizes)}."
    )
