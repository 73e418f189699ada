"""The three papers this kit is for, small, and a reader for what was printed."""

import unicodedata
from io import BytesIO

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
    PageSize,
    Sheet,
    Table,
)

TEAM = "Thimblejack Cook Team"
LINK = "https://cook.example.org/t/thimblejack/packing/0b9d3c1e-2f7d-4a55-9d0b-0d7c5b8a1f11/"

PACKING_COLUMNS = (
    Column("", Kind.TICK),
    Column("What", share=3),
    Column("Amount", Kind.NUMBER),
    Column("Weight", Kind.NUMBER),
    Column("Remark"),
)


def packing_list(sizes=(3, 4), *, page_size=PageSize.LETTER, link=LINK):
    """Containers named Box 1, Box 2, … with so many lines each."""
    return Sheet(
        title="Packing list: Gravel Bar Final",
        team=TEAM,
        subtitle=("Sat 12 June · Shinglestrand",),
        blocks=(Table(PACKING_COLUMNS, tuple(box(n, size) for n, size in enumerate(sizes, 1))),),
        page_size=page_size,
        link=link,
        printed_on="Printed Thu 10 June 2027, 21:14",
    )


def box(number, size):
    rows = [
        (line % 5 == 0, f"Thing {number}-{line}", "2 each", "1.4 lb", "") for line in range(size)
    ]
    sums = ((None, f"{size} lines in box {number}", "", f"{1.4 * size:.1f} lb", ""),)
    return Group(tuple(rows), f"Box {number}", sums)


def prep_sheet():
    rows = (
        ("195", "9:45", "Take the steaks out of the cooler", "Oda", "under 4 °C", False),
        ("12", "12:48", "Pull at the last seen temperature", "Wren", "54.0 °C", False),
        ("0", "13:00", "Turn in at the judges' table", "Oda", "", False),
    )
    columns = (
        Column("min before", Kind.NUMBER),
        Column("Clock", Kind.NUMBER, strong=True),
        Column("Task", share=4),
        Column("Who"),
        Column("Target", Kind.NUMBER),
        Column("Done", Kind.TICK),
    )
    caution = Caution(
        ("At 4:00 out of the cooler this steak is discarded.", "Keep a lid on hot coals.")
    )
    blocks = (
        Facts((("Window", "12:55 to 13:05"),)),
        Table(columns, (Group(rows),)),
        caution,
    )
    return Sheet("Prep sheet: Steak", TEAM, blocks, page_size=PageSize.A4, link=LINK)


def score_report():
    marks = Table(
        (
            Column("Table 3"),
            Column("Doneness", Kind.NUMBER),
            Column("Overall impression", Kind.NUMBER),
            Column("Sum", Kind.NUMBER, strong=True),
        ),
        (
            Group(
                (("Judge 1", "8", "9", "17"), ("Judge 2", "–", "8.5", "8.5")),
                sums=(("Sum", "8", "17.5", "25.5"),),
            ),
        ),
        grid=True,
    )
    losses = Table(
        (Column("Criterion"), Column("lost", Kind.NUMBER), Column("likely range", Kind.BAR)),
        (
            Group(
                (
                    ("Doneness", "9.4", Bar(0.87, 0.68, 0.9, strong=True)),
                    ("Overall impression", "5.7", Bar(0.52, 0.43, 0.63)),
                )
            ),
        ),
        sums=(("Earned of 250", "218.1", None),),
    )
    blocks = (Heading("Marks"), marks, Heading("Where the points went"), losses, Note("As typed."))
    return Sheet("Score report: Steak", TEAM, blocks, link=LINK, printed_on="13 June 2027")


def pages_of(pdf):
    """Each page's words as a person reads them: a list of lines, in the order drawn."""
    reader = PdfReader(BytesIO(pdf))
    return [[line.strip() for line in page.extract_text().split("\n")] for page in reader.pages]


def text_of(pdf):
    return "\n".join(line for page in pages_of(pdf) for line in page)


def letters_of(pdf):
    """Base letters alone, to look for right-to-left words whatever a reader's order."""
    return "".join(unicodedata.normalize("NFKC", text_of(pdf)).split())
