"""The settings under test: SQLite in memory, or the server that TEST_DATABASE_URL names."""

import os

os.environ["TESTING"] = "1"
os.environ.setdefault("SECRET_KEY", "for tests only")
os.environ["DATABASE_URL"] = os.environ.get("TEST_DATABASE_URL") or "sqlite://:memory:"
os.environ["PUBLIC_URL"] = "http://testserver"

from teamops.settings import *  # noqa: F403
