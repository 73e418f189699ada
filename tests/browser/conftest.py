"""
A real browser for these tests: a phone, a desk, and a watch that fails on any complaint.

    def test_a_tick_stays(phone, sign_in, member, watch):
        sign_in(phone, member.user)
        phone.goto(reverse("packing:show_list", args=[...]))   # the live server is the base
        watch.expect(422)                                      # only where a refusal is meant
        assert_accessible(phone)

Run them apart from the rest, `pytest tests/browser`: the browser's event loop stays in the process.
"""

import os
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import BrowserContext, Page, expect

from teamops.teams.models import User
from tests.browser.chromium import DESK, FLAGS, PHONE, Watch, faults_of_access, find_chromium

# Playwright keeps an event loop in this thread, where Django would refuse its own queries.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")

# A machine that runs two browsers and two servers may take its time; a wait costs nothing else.
expect.set_options(timeout=15_000)

OpenPage = Callable[..., Page]
SignIn = Callable[[Page, User], None]


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix: None,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """Give SQLite a file, so that each request has a connection of its own, as in service."""
    database = settings.DATABASES["default"]
    if database["ENGINE"].endswith("sqlite3"):
        path = tmp_path_factory.mktemp("database") / "teamops.sqlite3"
        database.setdefault("TEST", {})["NAME"] = str(path)


@pytest.fixture(scope="session")
def live_server(django_db_setup: None, live_server: Any) -> Any:
    """Started once the test database is there: before, it would share this thread's connection."""
    return live_server


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    path = find_chromium()
    if path is None:
        pytest.skip("no Chromium on this machine")
    return browser_type_launch_args | {"executable_path": path, "args": FLAGS}


@pytest.fixture
def watch() -> Iterator[Watch]:
    """What this test's pages complained about; anything unexpected fails the test."""
    watch = Watch()
    yield watch
    assert not watch.unexpected, "\n".join(["The browser complained:", *watch.unexpected])


@pytest.fixture
def open_page(watch: Watch, new_context: Callable[..., BrowserContext]) -> OpenPage:
    """Open a watched page in a context of its own; takes Playwright's context options."""

    def open_page(**options: Any) -> Page:
        context = new_context(locale="en-US", **options)
        context.set_default_timeout(20_000)
        page = context.new_page()
        watch.follow(page)
        return page

    return open_page


@pytest.fixture
def phone(open_page: OpenPage, live_server: Any) -> Page:
    """A phone of 390 x 844 with a touch screen, at the live server."""
    return open_page(base_url=live_server.url, **PHONE)


@pytest.fixture
def desk(open_page: OpenPage, live_server: Any) -> Page:
    """A window of 1280 x 800, at the live server."""
    return open_page(base_url=live_server.url, **DESK)


@pytest.fixture
def page(desk: Page) -> Page:
    return desk


@pytest.fixture
def plain(open_page: OpenPage, live_server: Any) -> Page:
    """A phone without JavaScript."""
    return open_page(base_url=live_server.url, java_script_enabled=False, **PHONE)


@pytest.fixture
def sign_in(live_server: Any) -> SignIn:
    """Sign a person in by the session cookie, without the form."""

    def sign_in(page: Page, user: User) -> None:
        client = Client()
        client.force_login(user)
        value = client.cookies[settings.SESSION_COOKIE_NAME].value
        cookie = {"name": settings.SESSION_COOKIE_NAME, "value": value, "url": live_server.url}
        page.context.add_cookies([cookie])

    return sign_in


def assert_accessible(page: Page) -> None:
    faults = faults_of_access(page)
    assert not faults, "\n".join([f"axe at {page.url}:", *faults])
