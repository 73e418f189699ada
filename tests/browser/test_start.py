"""`./deploy/start` in earnest: hashed files served, the link signs in, a second start keeps all."""

import re
import sqlite3
import stat
import time
from contextlib import closing
from pathlib import Path
from urllib.parse import urljoin

import pytest
from playwright.sync_api import Page

from tests.browser.chromium import PHONE
from tests.browser.conftest import assert_accessible
from tests.deploy.served import served

HASHED = re.compile(r'(?:href|src)="([^"]*/static/[^"]+)"')


def sign_in_by_link(page: Page, link: str) -> None:
    page.goto(link)
    page.get_by_role("main").get_by_role("button").first.click()
    page.wait_for_url("**/t/**")


def teams(var: Path) -> list[tuple[str, str]]:
    with closing(sqlite3.connect(var / "teamops.sqlite3")) as database:
        return database.execute("SELECT id, name FROM teams_team ORDER BY id").fetchall()


@pytest.mark.slow
def test_first_and_second_start(open_page, tmp_path):
    var = tmp_path / "var"
    with served(var) as first:
        page = open_page(base_url=first.url, **PHONE)
        answer = page.goto("/account/login/")
        files = HASHED.findall(answer.text())
        assert any(re.search(r"teamops\.[0-9a-f]{12}\.css$", file) for file in files)
        assert any("htmx" in file for file in files)
        for file in files:
            assert page.request.get(urljoin(page.url, file)).status == 200, file
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert_accessible(page)
        sign_in_by_link(page, first.link)
        assert_accessible(page)
        home = page.url.removeprefix(first.url)
    assert stat.S_IMODE((var / "secret-key").stat().st_mode) == 0o600
    assert not list(var.glob("*.new*"))
    before = teams(var)
    assert before

    begun = time.monotonic()
    with served(var) as second:
        assert time.monotonic() - begun < 30  # about five on a machine with nothing else to do
        assert "demo season" not in second.said
        assert second.link.removeprefix(second.url) != first.link.removeprefix(first.url)
        again = open_page(base_url=second.url, **PHONE)
        again.context.add_cookies(page.context.cookies(first.url + "/"))
        assert again.goto(home).status == 200  # still signed in: the key was kept
    assert teams(var) == before


@pytest.mark.slow
def test_an_empty_start_has_no_team(open_page, tmp_path):
    var = tmp_path / "var"
    with served(var, "--empty") as server:
        assert "make an account" in server.said
        page = open_page(base_url=server.url, **PHONE)
        page.goto("/")
        assert "/account/login/" in page.url
    assert teams(var) == []
