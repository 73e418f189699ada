"""
One rulebook as a small file, to keep or to give to another team.

The format, version 1: a JSON object in UTF-8, at most 100 kB.

    {"teamops_rulebook": 1, "name": "Three Pegs", "edition": "1", ...,
     "criteria": [{"key": "looks", "name": "Looks", "weight": "0.6",
                   "least": "2", "most": "9", "step": "1", "panel": ""}, ...],
     "panels": [{"name": "blind", "expected": 4, "least": 3}, ...],
     "tie_break": ["sum:looks:kept", "dropped_total", "draw"]}

Numbers that may have a point (weights, marks, points) are texts, "0.6", so that no digit changes
on the way; counts (judges, minutes, pieces) are plain whole numbers; days are "2026-05-01"; null
is "not said". Criteria stand in the order of the sheet. What a file leaves out is as in a blank
rulebook; `name` and `criteria` are needed. A file with a field that is not in `FIELDS` is refused:
it says something that would be lost. Neither team nor family nor dates of use travel along.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from hashlib import sha256
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models

from teamops.calc.words import list_words, plain
from teamops.rules.checks import check_book
from teamops.rules.copies import NOT_COPIED
from teamops.rules.models import Criterion, Rulebook

VERSION = 1
MARKER = "teamops_rulebook"
MOST_BYTES = 100_000
FIELDS = tuple(
    field.name for field in Rulebook._meta.concrete_fields if field.name not in NOT_COPIED
)
COLUMNS = ("key", "name", "weight", "least", "most", "step", "panel")


@dataclass(frozen=True, slots=True)
class Book:
    """A rulebook read from a file, with its criteria; nothing of it is stored yet."""

    rulebook: Rulebook
    criteria: tuple[Criterion, ...]


def file_of(rulebook: Rulebook) -> str:
    """The rulebook as a file's text; one query, none where its criteria are prefetched."""
    return written(rulebook, rulebook.criteria.all())


def written(rulebook: Rulebook, criteria: Any) -> str:
    """A rulebook and these criteria as a file's text; no query."""
    record = {MARKER: VERSION} | {name: _out(getattr(rulebook, name)) for name in FIELDS}
    record["criteria"] = [{name: _out(getattr(row, name)) for name in COLUMNS} for row in criteria]
    return json.dumps(record, ensure_ascii=False, indent=2) + "\n"


def fingerprint(rulebook: Rulebook) -> str:
    """A short sign that changes whenever the rulebook's words or numbers do; one query."""
    rows = Criterion.objects.filter(rulebook=rulebook)
    return sha256(written(rulebook, rows).encode()).hexdigest()[:16]


def read_file(raw: bytes) -> Book:
    """
    The rulebook that a file holds, checked but not stored; no query.

    Refuses (ValidationError, sentences) what is too big, no JSON, of another version, without
    name or criteria, or holds letters where a number belongs.
    """
    record = _opened(raw)
    unknown = sorted(set(record) - {MARKER, "criteria", *FIELDS})
    wrong = [f"“{name[:40]}” is not known in this format." for name in unknown]
    rulebook = Rulebook()
    wrong += _fill(rulebook, record, FIELDS, "")
    if not record.get("name"):
        wrong.append("The rulebook has no name.")
    rows = record.get("criteria")
    if not isinstance(rows, list) or not rows:
        raise ValidationError([*wrong, "It says nothing that judges mark: no criteria."])
    criteria = []
    for order, row in enumerate(rows, start=1):
        criterion = Criterion(order=order)
        wrong += _criterion(criterion, row, f"Criterion {order}: ")
        criteria.append(criterion)
    if wrong:
        raise ValidationError(wrong)
    check_book(rulebook, criteria)
    return Book(rulebook, tuple(criteria))


def _opened(raw: bytes) -> dict[str, Any]:
    if len(raw) > MOST_BYTES:
        raise ValidationError("This file is too big for a rulebook: more than 100 kB.")
    try:
        record = json.loads(raw.decode("utf-8-sig"))
    except (ValueError, RecursionError) as why:
        raise ValidationError("This is not a rulebook file: it cannot be read as JSON.") from why
    if not isinstance(record, dict) or MARKER not in record:
        raise ValidationError("This is not a rulebook file: it does not say that it is one.")
    if record[MARKER] != VERSION or isinstance(record[MARKER], bool):
        said = str(record[MARKER])[:20]
        raise ValidationError(f"This file is of version {said}; version {VERSION} can be read.")
    return record


def _criterion(criterion: Criterion, row: Any, where: str) -> list[str]:
    if not isinstance(row, dict):
        return [f"{where}it is not written as one."]
    unknown = sorted(set(row) - set(COLUMNS))
    if unknown:
        return [f"{where}{list_words(unknown)[:80]} is not known in this format."]
    missing = [name for name in ("key", "name") if not row.get(name)]
    if missing:
        return [f"{where}it has no {list_words(missing)}."]
    return _fill(criterion, row, COLUMNS, where)


def _fill(
    instance: models.Model, record: Mapping[str, Any], names: tuple[str, ...], where: str
) -> list[str]:
    """Set what the record says; what is wrong with it, as sentences."""
    wrong = []
    for name in names:
        if name not in record:
            continue
        field: Any = instance._meta.get_field(name)
        label = f"{where}{_label(field)}"
        refused = _refused(field, record[name])
        if refused:
            wrong.append(f"{label} {refused}.")
            continue
        try:
            setattr(instance, name, field.clean(record[name], instance))
        except ValidationError as error:
            wrong += [f"{label}: {message}" for message in error.messages]
    return wrong


def _refused(field: Any, value: Any) -> str:
    """What is wrong with the kind of value, before its size is looked at."""
    if value is None:
        return "" if field.null else "must be said, not null"
    match field:
        case models.DecimalField():
            if not isinstance(value, str):
                return 'must be a number between quotes, such as "0.5"'
            return "" if _is_decimal(value) else f"is “{value[:20]}”, which is not a number"
        case models.IntegerField():
            whole = isinstance(value, int) and not isinstance(value, bool)
            return "" if whole else "must be a whole number without quotes"
        case models.JSONField():
            return "" if isinstance(value, list) else "must be a list"
    return "" if isinstance(value, str) else "must be a text between quotes"


def _is_decimal(text: str) -> bool:
    sign, digits = text[:1] == "-", text.removeprefix("-")
    parts = digits.split(".")
    whole = all(part.isascii() and part.isdecimal() for part in parts)
    return len(text) - sign <= 20 and len(parts) <= 2 and whole


def _label(field: Any) -> str:
    text = str(field.verbose_name)
    return text[:1].upper() + text[1:]


def _out(value: Any) -> Any:
    if isinstance(value, Decimal):
        return plain(value)
    if isinstance(value, date):
        return value.isoformat()
    return value
