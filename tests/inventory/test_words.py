from decimal import Decimal

import pytest

from teamops.inventory.words import say_amount


@pytest.mark.parametrize(
    ("amount", "unit", "said"),
    [
        ("4", "each", "4"), ("2.5", "lb", "2.5 lb"), ("10.000000", "lb", "10 lb"),
        ("1", "pair", "1 pair"), ("6", "pair", "6 pairs"), ("3", "box", "3 boxes"),
        ("2", "copy", "2 copies"), ("2", "tray", "2 trays"), ("0", "roll", "0 rolls"),
        ("2", "Stück", "2 Stück"), ("2", "m²", "2 m²"),
        ("3", "yard", "3 yards"), ("1000", "bag", "1000 bags"),
        ("2", "קופסה", "2 קופסה"),
    ],
)  # fmt: skip
def test_amounts_as_one_says_them(amount, unit, said):
    assert say_amount(Decimal(amount), unit) == said
