"""
The rows of a posted list as markup.

Written here and not as templates: a list may have 2,000 of them. Every word that was pasted goes
through `escape`.
"""

from collections.abc import Sequence

from django import template
from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.calc.reading import Kind, Line
from teamops.judging.forms import Preview
from teamops.judging.queries.postings import StandingRow

register = template.Library()

ROW = (
    '<tr{look}><td class="num">{place}</td><th scope="row"><span dir="auto">{name}</span>{ours}'
    '{more}{says}</th><td class="num">{total}</td></tr>\n'
)
LINE = (
    '<tr{look}><td><label class="tick"><input type="checkbox" name="{name}" value="{at}"{on}>'
    '<span class="small">{word}<span class="hear"> line {at}</span></span></label></td>'
    '<td class="num muted">{at}</td>{cells}</tr>\n{says}'
)
BELOW = '<tr class="below"><td></td><td></td><td colspan="{}">{}</td></tr>'
KINDS = {
    Kind.HEADING: "headings",
    Kind.REPEATED: "headings again",
    Kind.SUM: "a sum of the field",
    Kind.WORDS: "no entry",
}


@register.simple_tag
def standing_rows(rows: Sequence[StandingRow]) -> SafeString:
    """A row an entry: place, who, total; below the name what is odd and how a tie went."""
    return SafeString("".join(map(_row, rows)))


def _row(row: StandingRow) -> str:
    more = f'<span class="under">{escape(row.more)}</span>' if row.more else ""
    says = [f'<span class="odd-line">{escape(words)}</span>' for words in row.says]
    says += [f'<span class="step">{escape(words)}</span>' for words in row.steps]
    return ROW.format(
        look=' class="ours"' if row.ours else "",
        place=escape(row.place),
        name=escape(row.name),
        ours=' <b class="stamp ok">ours</b>' if row.ours else "",
        more=more,
        says="".join(says),
        total=escape(row.total),
    )


@register.simple_tag
def preview_rows(preview: Preview) -> SafeString:
    """A row a line: its tick, its number, its cells; below it what could not be read."""
    says = {row.at: row.says for row in preview.rows if row.says}
    guessed = {line.at for line in preview.guess.lines if line.kept}
    wide = len(preview.reading.columns) + 2
    return SafeString(
        "".join(
            _line(line, guessed=line.at in guessed, says=says.get(line.at, ()), wide=wide)
            for line in preview.reading.lines
        )
    )


def _line(line: Line, *, guessed: bool, says: Sequence[str], wide: int) -> str:
    """A kept line can be ticked out, one that is not can be ticked in: most send nothing."""
    cells = "".join(f'<td dir="auto">{escape(cell)}</td>' for cell in line.cells)
    why = "" if line.kept else KINDS.get(line.kind, "left out")
    below = [*says, *([f"Left out: {why}."] if why and line.kind is not Kind.ENTRY else [])]
    return LINE.format(
        look="" if line.kept else ' class="out"',
        name="out" if guessed else "take",
        at=line.at,
        on=" checked" if line.kept is not guessed else "",
        word="leave out" if guessed else "keep",
        cells=cells,
        says="".join(BELOW.format(wide - 2, escape(words)) for words in below),
    )
