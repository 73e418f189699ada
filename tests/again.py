"""
A run on a second database: only the tests that ask for one, each with its first values.

A pytest plugin, `-p tests.again`. pytest-django keeps a test from the database that does not ask
for it by fixture or by mark, so the others cannot come out another way there. What a test is asked
with differs from case to case in words and numbers, not in what it asks of a database. Insight only
reads: what its queries ask is asked of them there, and its pages are looked at once.
"""

import pytest

PAGES = {"client", "signed_in", "open_page"}
ASKS = {"db", "transactional_db", "django_db_setup", "live_server"}


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    seen: set[str] = set()
    chosen, others = [], []
    for item in items:
        name = item.nodeid.partition("[")[0]
        first = asks(item) and name not in seen and not is_insight_page(item)
        (chosen if first else others).append(item)
        if first:
            seen.add(name)
    config.hook.pytest_deselected(items=others)
    items[:] = chosen


def asks(item: pytest.Item) -> bool:
    """Whether this test may touch the database."""
    fixtures = getattr(item, "fixturenames", ())
    return bool(ASKS.intersection(fixtures)) or item.get_closest_marker("django_db") is not None


def is_insight_page(item: pytest.Item) -> bool:
    """Whether this test looks at a page of insight, by itself or by a fixture."""
    fixtures = set(getattr(item, "fixturenames", ()))
    return item.nodeid.startswith("tests/insight/") and bool(PAGES & fixtures)
