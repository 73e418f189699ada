"""A file, whatever it is called: what it really is decides how it is read, or why it is not."""

from teamops.tabular.book import read_book
from teamops.tabular.records import MOST_BYTES, Table, Unreadable
from teamops.tabular.text import decode, lines, split

PASTE = "Copy the table in it and paste it instead."
OTHER = (
    (b"%PDF", f"This is a PDF. {PASTE}"),
    (b"\xd0\xcf\x11\xe0", ("This is a workbook of the old kind, or one locked with a password. "
     "Open it in your spreadsheet and save it as XLSX or CSV.")),
    (b"\xff\xd8\xff", f"This is a picture. {PASTE}"),
    (b"\x89PNG", f"This is a picture. {PASTE}"),
    (b"GIF8", f"This is a picture. {PASTE}"),
    (b"RIFF", f"This is a picture or a sound. {PASTE}"),
    (b"II*\0", f"This is a picture. {PASTE}"),
    (b"MM\0*", f"This is a picture. {PASTE}"),
    (b"\x1f\x8b", "This is a packed file. Unpack it and bring the file that is in it."),
    (b"Rar!", "This is a packed archive. Unpack it and bring the file that is in it."),
    (b"7z\xbc\xaf", "This is a packed archive. Unpack it and bring the file that is in it."),
    (b"{\\rtf", f"This is a text document. {PASTE}"),
    (b"SQLite format 3", "This is a database, not a table. Save the table as CSV."),
)  # fmt: skip
PAGES = ("<!doctype html", "<html", "<?xml", "<table")


def read_file(data: bytes, name: str) -> tuple[Table, ...]:
    """
    The tables in a file: one of a CSV, a sheet each of an XLSX. What is in it decides, not `name`.

    Text that no sign parts comes as one column. Refuses (Unreadable, a sentence for who brought
    it) what is empty, too large or no table.
    """
    if len(data) > MOST_BYTES:
        raise Unreadable(
            f"This file is {len(data) / 1e6:,.0f} MB: at most {MOST_BYTES / 1e6:.0f} MB. "
            "Score tables are small: take the pictures out, or save it as CSV."
        )
    if not data.strip():
        raise Unreadable("This file is empty.")
    for start, words in OTHER:
        if data.startswith(start):
            raise Unreadable(words)
    if data.startswith(b"PK"):
        return read_book(data)
    text = decode(data)
    if text.lstrip()[:20].lower().startswith(PAGES):
        raise Unreadable("This is a web page, whatever it is called. Open it in a browser, copy "
                         "the table in it and paste it instead.")  # fmt: skip
    if not any(map(str.isalnum, text)):
        raise Unreadable("This file is empty.")
    return (split(text, name) or lines(text, name),)
