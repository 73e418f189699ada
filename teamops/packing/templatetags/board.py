"""
A board's rows as markup.

Written here and not as a template: three hundred rows of ten variables each took four fifths of
the page's time there. Every word a person typed goes through `escape`.
"""

from collections.abc import Iterable

from django import template
from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.packing.queries import BoardRow

register = template.Library()

FACE = "<i></i><b>{}</b> <span>{}</span> <em>{}</em>"
PRESS = (
    '<button id="line-{0}" class="row {1}" name="{2}" value="{0}" aria-pressed="{3}"{4}>'
    "{5}</button>"
)
STILL = '<div id="line-{0}" class="row {1}"{4}>{5}</div>'
OPENED = (
    '<li>{}<details><summary>how?</summary>{} <a href="{}{}/">less, or change</a></details></li>\n'
)
PLAIN = "<li>{}</li>\n"
SWAP = ' hx-swap-oob="true"'


@register.simple_tag
def board_rows(rows: Iterable[BoardRow], line_url: str) -> SafeString:
    """List items: a button a row, plain words where there is nothing to press, and how it came.

    Without `line_url` the row is all: behind a link no line has a page of its own.
    """
    if not line_url:
        return SafeString("".join(PLAIN.format(_row(row)) for row in rows))
    url = escape(line_url)
    items = [OPENED.format(_row(row), escape(row.how), url, row.key) for row in rows]
    return SafeString("".join(items))


@register.simple_tag
def changed_rows(rows: Iterable[BoardRow]) -> SafeString:
    """The same buttons, each finding its place by its id: what is opened beside it stays open."""
    return SafeString("\n".join(_row(row, SWAP) for row in rows))


def _row(row: BoardRow, swap: str = "") -> str:
    face = FACE.format(escape(row.amount), escape(row.name), escape(row.state))
    shape = PRESS if row.press else STILL
    return shape.format(row.key, row.look, row.press, row.pressed, swap, face)
