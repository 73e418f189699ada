"""
The list of outside checks: which published figures the numbers are held against.

A pytest plugin, `-p tests.sources`. With it a mark without a source stops the run, and
`--sources` prints every source with the tests that stand on it. What a mark's text begins with
says what it is: "computed" (worked out anew by other means), "common practice" (no source to
cite), anything else a published work.
"""

from collections import defaultdict
from collections.abc import Iterable

import pytest

KINDS = {
    "published": "Published",
    "from memory": "From memory, not looked up",
    "computed": "Computed by other means",
    "common practice": "Common practice, no source",
}


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--sources", action="store_true", help="list every outside check")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    bare = {item.nodeid for item in items for mark in _marks(item) if not _source(mark)}
    if bare:
        raise pytest.UsageError("These outside checks name no source: " + ", ".join(sorted(bare)))


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    if not config.getoption("--sources"):
        return
    items = config.stash.get(_ITEMS, [])
    found = sources((item.nodeid, _source(mark)) for item in items for mark in _marks(item))
    for kind, title in KINDS.items():
        terminalreporter.section(f"{title}: {len(found[kind])}")
        for source, tests in sorted(found[kind].items()):
            terminalreporter.line(source)
            for test in sorted(tests):
                terminalreporter.line(f"    {test}")


_ITEMS = pytest.StashKey[list[pytest.Item]]()


def pytest_collection_finish(session: pytest.Session) -> None:
    session.config.stash[_ITEMS] = session.items


def sources(marked: Iterable[tuple[str, str]]) -> dict[str, dict[str, set[str]]]:
    """Sort pairs of test and source by kind, then by source; a test's parameters are left off."""
    found: dict[str, dict[str, set[str]]] = {kind: defaultdict(set) for kind in KINDS}
    for test, source in marked:
        found[kind_of(source)][source].add(test.partition("[")[0])
    return found


def kind_of(source: str) -> str:
    return next((kind for kind in KINDS if source.lower().startswith(kind)), "published")


def _marks(item: pytest.Item) -> Iterable[pytest.Mark]:
    return item.iter_markers("outside")


def _source(mark: pytest.Mark) -> str:
    """The mark's one text; a mark with anything else names no source."""
    texts = [*mark.args, *mark.kwargs.values()]
    return texts[0].strip() if len(texts) == 1 and isinstance(texts[0], str) else ""
