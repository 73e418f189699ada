"""
Look at every page of the demo season: pictures on phone and desk, light and dark, and all faults.

Starts the app on scratch data, signs in, follows every link inside the team and visits the pages
of people who are not signed in. Pictures go to OUT, named by the page's URL name, the width and
the scheme; PDFs are drawn page by page. Prints console errors, answers of 400 and above, pages
wider than their window and what axe finds. Ends with 1 if there was any.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urljoin, urlsplit

import django
from django.urls import Resolver404, resolve
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from deploy.environment import stop_on_term
from tests.browser.chromium import (
    DESK,
    FLAGS,
    PHONE,
    Watch,
    faults_of_access,
    find_chromium,
    sideways,
)
from tests.deploy.served import Served, served

SIZES = {"390": PHONE, "1280": DESK}
SCHEMES = ("light", "dark")
EXAMINED = ("390-light", "390-dark", "1280-light")  # by axe: each colour and each layout once
OPENED = 6  # examples of a name that are opened, as links may stand on one and not on another
PICTURES = """Promise.all([...document.images].map(
    image => image.complete || new Promise(done => { image.onload = image.onerror = done; })
))"""
CAP = 400  # visits in one walk
MISSING = ["/no-such-page"]
SIGNED_OUT = ["/account/login/", "/account/signup/", "/account/password/reset/", *MISSING]
ENDINGS = {
    "application/pdf": "pdf",
    "image/svg+xml": "svg",
    "image/png": "png",
    "text/csv": "csv",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": "xlsx",
}


@dataclass
class Tour:
    """Where pictures go, what was found, and what was wrong with it."""

    out: Path
    per_name: int
    plain: bool
    faults: dict[str, None] = field(default_factory=dict)  # in order, each once
    files: set[str] = field(default_factory=set)
    examples: dict[str, list[str]] = field(default_factory=dict)

    def note(self, where: str, *what: str) -> None:
        for fault in (f"{where}: {one}" for one in what):
            if fault not in self.faults:
                print(fault, flush=True)
            self.faults[fault] = None

    def walk(self, context: BrowserContext, starts: list[str]) -> list[str]:
        """Follow links of this site from `starts`; the pages to look at, some of each name."""
        page = context.new_page()
        waiting, seen, pages, taken = [*starts], {*starts}, [], Counter()
        while waiting and taken.total() < CAP:
            path = waiting.pop(0)
            name = url_name(path)
            if taken[name] >= max(self.per_name, OPENED) and path not in starts:
                continue
            taken[name] += 1
            is_page, links = self.open(page, path, name)
            if is_page and (taken[name] <= self.per_name or path in starts):
                pages.append(path)
            fresh = dict.fromkeys(path_of(link, page.url) for link in links) if links else {}
            waiting += [link for link in fresh if link and link not in seen]
            seen |= fresh.keys()
        page.close()
        return pages

    def open(self, page: Page, path: str, name: str) -> tuple[bool, list[str]]:
        """Ask for a path: tell whether it is a page, and where its links lead; keep a file."""
        answer = page.request.get(path, max_redirects=0)
        if answer.status >= 400 and path not in MISSING:
            self.note(name, f"answered {answer.status} to {path}")
        if 300 <= answer.status < 400:
            return False, [answer.headers["location"]]
        kind = answer.headers.get("content-type", "").partition(";")[0]
        if kind != "text/html":
            self.keep(name, kind, answer.body())
            return False, []
        page.goto(path)
        return True, page.eval_on_selector_all("a[href]", "all => all.map(a => a.href)")

    def keep(self, name: str, kind: str, body: bytes) -> None:
        """Keep a file that a page links to; a PDF page by page."""
        if name in self.files:
            return
        file = self.out / f"{name}.{ENDINGS.get(kind, 'txt')}"
        file.write_bytes(body)
        self.files.add(name)
        if file.suffix == ".pdf":
            subprocess.run(["pdftoppm", "-r", "80", "-png", file, file.with_suffix("")], check=True)

    def look(self, context: BrowserContext, paths: list[str], label: str) -> None:
        """Visit each path, take its picture and note its faults."""
        for path in paths:
            name, watch, page = url_name(path), Watch(), context.new_page()
            watch.follow(page)
            if path in MISSING:
                watch.expect(404)
            page.goto(path)
            unroll(page)
            if not label.endswith("plain"):
                page.evaluate(PICTURES)
            page.screenshot(path=self.picture(name, path, label))
            where = f"{name} {label} {path}"
            self.note(where, *watch.unexpected)
            if (wider := sideways(page)) > 0:
                self.note(where, f"{wider} px wider than the window")
            if label in EXAMINED:
                self.note(where, *faults_of_access(page))
            page.close()

    def picture(self, name: str, path: str, label: str) -> Path:
        """A file name for a page; further examples of one name are counted."""
        paths = self.examples.setdefault(name, [])
        if path not in paths:
            paths.append(path)
        number = paths.index(path) + 1
        return self.out / f"{name}{f'-{number}' if number > 1 else ''}-{label}.png"


def unroll(page: Page) -> None:
    """Make the window as tall as the page: bars stand at its foot, and late pictures come."""
    width = page.viewport_size["width"] if page.viewport_size else 1280
    tall = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": width, "height": min(max(tall, 800), 12_000)})
    page.wait_for_load_state("load")


def url_name(path: str) -> str:
    try:
        return resolve(urlsplit(path).path).view_name.replace(":", "-")
    except Resolver404:
        return "none"


def path_of(link: str, base: str) -> str:
    """The path of a link on the same site, without its fragment; "" for any other."""
    there, here = urlsplit(urljoin(base, link)), urlsplit(base)
    if there[:2] != here[:2] or there.path.startswith("/static/"):
        return ""
    return there.path + (f"?{there.query}" if there.query else "")


def sign_in(context: BrowserContext, link: str) -> str:
    """Use the printed link; the address of the team's home."""
    page = context.new_page()
    page.goto(link)
    page.get_by_role("main").get_by_role("button").first.click()
    page.wait_for_url("**/t/**")
    home = urlsplit(page.url).path
    page.close()
    return home


def contexts(tour: Tour, browser: Browser, url: str) -> Iterator[tuple[str, BrowserContext]]:
    """A context for each size and scheme, and one without JavaScript if asked."""
    for size, options in SIZES.items():
        for scheme in SCHEMES:
            made = browser.new_context(base_url=url, color_scheme=scheme, **options)
            yield f"{size}-{scheme}", made
    if tour.plain:
        yield "390-plain", browser.new_context(base_url=url, java_script_enabled=False, **PHONE)


def visit(tour: Tour, browser: Browser, server: Served) -> None:
    signed_out = tour.walk(browser.new_context(base_url=server.url), SIGNED_OUT)
    inside = browser.new_context(base_url=server.url)
    signed_in = tour.walk(inside, [sign_in(inside, server.link)])
    for label, context in contexts(tour, browser, server.url):
        print(f"Looking at {len(signed_out) + len(signed_in)} pages: {label}.", flush=True)
        tour.look(context, signed_out, label)
        context.add_cookies(inside.cookies())
        tour.look(context, signed_in, label)
        context.close()
    print(f"{len(signed_out) + len(signed_in)} pages, {len(tour.files)} files in {tour.out}")


def main() -> None:
    parser = argparse.ArgumentParser(prog="./deploy/tour", description=__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("out", type=Path, help="folder for the pictures")
    parser.add_argument("--per-name", type=int, default=1, help="examples of each page")
    parser.add_argument("--no-js", action="store_true", help="look without JavaScript as well")
    asked = parser.parse_args()
    stop_on_term()
    chromium = find_chromium()
    if chromium is None:
        sys.exit("There is no Chromium on this machine.")
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    django.setup()
    asked.out.mkdir(parents=True, exist_ok=True)
    tour = Tour(asked.out, asked.per_name, asked.no_js)
    with (
        tempfile.TemporaryDirectory(prefix="teamops-tour-") as scratch,
        served(Path(scratch) / "var", faultless=False) as server,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        visit(tour, browser, server)
        browser.close()
    (asked.out / "faults.txt").write_text("".join(f"{fault}\n" for fault in tour.faults))
    print(f"{len(tour.faults)} faults." if tour.faults else "No faults.")
    sys.exit(1 if tour.faults else 0)


if __name__ == "__main__":
    main()
