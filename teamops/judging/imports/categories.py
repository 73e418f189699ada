"""Categories that a table may be of: the team's own, and usual ones it has not had yet."""

import re
from collections.abc import Iterable

from teamops.calc.reading import plain_words

USUAL = "Ribeye"
OTHERS = (USUAL, "Strip", "Sirloin", "Fillet", "Burger", "Chicken", "Pork", "Dessert")
STEAKS = re.compile(
    r"\b(?:steaks?|rib[- ]?eyes?|strip|striploin|sirloin|fill?et|tenderloin|rump|flank|skirt|"
    r"hanger|flat[- ]?iron|tomahawk|t-?bone|porterhouse|picanha|entrec[oô]te)\b",
    re.IGNORECASE,
)
OTHER_MEAT = re.compile(
    r"\b(?:chicken|poultry|turkey|duck|pork|gammon|ham|lamb|veal|fish|salmon|tuna|shrimp|prawns?|"
    r"seafood|ground|minced?|burgers?|sausages?|wings?)\b",
    re.IGNORECASE,
)


def is_steak(name: str) -> bool:
    """
    Whether a category by this name is a whole cut of beef, cooked to a doneness.

    When in doubt it is not: a medium steak's temperature must never be assumed of poultry.
    """
    return bool(STEAKS.search(name)) and not OTHER_MEAT.search(name)


def is_usual(name: str) -> bool:
    """Whether it is the name of a category that any team may have."""
    return plain_words(name) in {plain_words(one) for one in OTHERS}


def category_options(own: Iterable[str]) -> list[tuple[str, str]]:
    """The team's own categories, then usual ones that taking a table in would make."""
    names = list(own) or [USUAL]
    had = {plain_words(name) for name in names}
    new = [(name, f"{name}, new here") for name in OTHERS if plain_words(name) not in had]
    return [*((name, name) for name in names), *new]
