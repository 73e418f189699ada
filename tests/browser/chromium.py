"""Debian's Chromium, how it is started, and what a page in it complained about."""

import re
import shutil
from dataclasses import dataclass, field

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Response

NAMES = ("chromium", "chromium-browser", "google-chrome")
FLAGS = [
    "--no-sandbox",  # root in a container has no sandbox to use
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # Nothing but this machine can be reached, whatever a page or the browser would like.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1",
]
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
DESK = {"viewport": {"width": 1280, "height": 800}}


def find_chromium() -> str | None:
    """The path of the first Chromium on this machine, if there is one."""
    return next(filter(None, map(shutil.which, NAMES)), None)


@dataclass
class Watch:
    """
    What a page complained about: console errors, policy complaints, answers of 400 and above.

    A test that means to get such an answer says so first: `watch.expect(422)`, or with a piece
    of the complaint's text: `watch.expect("ERR_INTERNET_DISCONNECTED")`.
    """

    complaints: list[str] = field(default_factory=list)
    expected: list[str] = field(default_factory=list)

    def expect(self, *what: int | str) -> None:
        """Let answers of these statuses, or complaints holding these words, pass."""
        self.expected += [f"answered {one} " if isinstance(one, int) else one for one in what]

    @property
    def unexpected(self) -> list[str]:
        return [said for said in self.complaints if not any(one in said for one in self.expected)]

    def follow(self, page: Page) -> None:
        """Note down everything this page complains about from now on."""
        page.on("console", lambda line: self._console(line.type, line.text))
        page.on("pageerror", lambda error: self.complaints.append(f"script: {error}"))
        page.on("response", self._response)
        page.on("requestfailed", lambda request: self._lost(request.url, request.failure or ""))

    def _console(self, kind: str, text: str) -> None:
        # The browser repeats each bad answer and lost request here; those are noted below.
        if kind == "error" and not text.startswith("Failed to load resource:"):
            self.complaints.append(f"console: {text}")

    def _response(self, response: Response) -> None:
        if response.status >= 400:
            asked = f"{response.request.method} {response.url}"
            self.complaints.append(f"answered {response.status} to {asked}")

    def _lost(self, url: str, failure: str) -> None:
        # Leaving a page, or saving what it sends as a file, aborts the request: no fault.
        if not re.search("ERR_ABORTED", failure):
            self.complaints.append(f"lost: {failure} {url}")


def faults_of_access(page: Page) -> list[str]:
    """What axe finds wrong with this page for people who hear, enlarge or key their way."""
    found = Axe().run(page).response["violations"]
    return [
        f"{fault['id']} ({fault['impact']}): {fault['help']}: {node['target']} {node['html'][:160]}"
        for fault in found
        for node in fault["nodes"]
    ]


def sideways(page: Page) -> int:
    """How many pixels the page is wider than its window."""
    return page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
