"""Sheets of paper: packing lists, prep sheets and score reports, as PDF.

An app describes a sheet with the dataclasses of `sheet` and gets bytes from `render`. The kit
knows no Django, no team and no unit: every figure comes as words ready to print.
"""

from teamops.paper.days import long_day, printed_on, short_day
from teamops.paper.render import render
from teamops.paper.sheet import (
    Bar,
    Block,
    Caution,
    Cell,
    Chart,
    Column,
    Facts,
    Group,
    Heading,
    Kind,
    Note,
    PageSize,
    Row,
    Sheet,
    Table,
)

__all__ = [
    "Bar",
    "Block",
    "Caution",
    "Cell",
    "Chart",
    "Column",
    "Facts",
    "Group",
    "Heading",
    "Kind",
    "Note",
    "PageSize",
    "Row",
    "Sheet",
    "Table",
    "long_day",
    "printed_on",
    "render",
    "short_day",
]
