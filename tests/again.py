"""
A run on a second database: only the tests that ask for one.

A pytest plugin, `-p tests.again`. pytest-django keeps a test from the database that does not ask
for it by fixture or by mark, so the others cannot come out another way there.
"""

import pytest

ASKS = {"db", "transactional_db", "django_db_setup", "live_server"}


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    others = [item for item in items if not asks(item)]
    config.hook.pytest_deselected(items=others)
    items[:] = [item for item in items if asks(item)]


def asks(item: pytest.Item) -> bool:
    """Whether this test may touch the database."""
    fixtures = getattr(item, "fixturenames", ())
    return bool(ASKS.intersection(fixtures)) or item.get_closest_marker("django_db") is not None
