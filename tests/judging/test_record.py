"""An envelope is written whole, or not at all."""

from decimal import Decimal

import pytest

from teamops.judging import actions
from teamops.judging.models import Result
from tests.factories.judging import scored_entry

pytestmark = pytest.mark.django_db
FIVE = [
    [9, 8, 9, 9, 9],
    ["9.5", 8, 8, "8.5", 9],
    [10, 8, 7, 9, 9],
    [9, 7, 8, 8, 8],
    [9, 9, 9, 9, 9],
]


def test_five_sheets_add_up():
    entry = scored_entry(table=FIVE)
    assert entry.result.total == Decimal("215")
    assert entry.result.most == 250
    assert entry.result.basis == Result.Basis.MARKS
    lines = entry.result.criteria.all()
    assert sum(line.lost for line in lines) == 35
    assert list(actions.rescore(check=True)) == []
