"""Small pictures and lines as ready strings, for loops that would cost a template more than a page.

Whatever somebody typed is escaped here; all else is words and numbers of ours.
"""

from collections.abc import Sequence
from typing import NamedTuple

from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.insight.bars import Bar


class Stop(NamedTuple):
    """One stop of a way: its word, what is known of it, and how it is drawn.

    `look` is done, now or next: ticked, ringed or hollow.
    """

    word: str
    note: str
    look: str


def draw_bar(bar: Bar) -> SafeString:
    """A bar with its range; hidden from those who hear the page, since the number stands beside."""
    line = ""
    if bar.low is not None:
        line = f'<line x1="{bar.low}" y1="6" x2="{bar.high}" y2="6"/>'
    return SafeString(
        f'<svg class="lost{" worst" * bar.worst}" viewBox="0 0 130 12" preserveAspectRatio="none" '
        f'aria-hidden="true"><rect width="{bar.length}" height="12"/>{line}</svg>'
    )


def draw_way(stops: Sequence[Stop], words: str) -> SafeString:
    """Stops along a line, at their own size on any screen; `words` say the same to the ear."""
    places = [(2 * number + 1) * 100 // (2 * len(stops)) for number in range(len(stops))]
    parts = [f'<line x1="{places[0]}%" y1="11" x2="{places[-1]}%" y2="11"/>']
    parts += [_draw_stop(stop, place) for stop, place in zip(stops, places, strict=True)]
    return SafeString(
        f'<svg class="ribbon way" width="100%" height="52" role="img" '
        f'aria-label="{escape(words)}">{"".join(parts)}</svg>'
    )


def _draw_stop(stop: Stop, place: int) -> str:
    drawn = f'<circle class="{stop.look}" cx="{place}%" cy="11" r="7"/>'
    if stop.look == "done":
        drawn += (
            f'<svg x="{place}%" y="11" overflow="visible">'
            '<path class="tick" d="M-3.5 0 L-1 3 L4 -3.5"/></svg>'
        )
    elif stop.look == "now":
        drawn += f'<circle class="dot" cx="{place}%" cy="11" r="3"/>'
    far = " far" * (stop.look == "next")
    drawn += f'<text class="word{far}" x="{place}%" y="33" text-anchor="middle">{stop.word}</text>'
    if stop.note:
        note = escape(stop.note)
        drawn += f'<text class="note" x="{place}%" y="48" text-anchor="middle">{note}</text>'
    return drawn


def write_stamps(stamps: Sequence[tuple[str, str]]) -> str:
    """Stamps after a line: their words, and how they look."""
    return "".join([f' <span class="stamp {look}">{escape(word)}</span>' for word, look in stamps])
