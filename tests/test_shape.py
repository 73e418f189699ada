"""The shape of the code, read from the code itself; each failure is a sentence."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.apps import apps
from django.db import models
from django.urls import URLPattern, URLResolver, get_resolver

from teamops.contests.models import Contest
from teamops.teams.fields import PlainTextField
from tests.factories.contests import ContestFactory

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "teamops"
GROUND = ("web", "calc", "paper", "tabular")
ORDER = (
    "teams", "rules", "contests", "inventory", "recipes", "cooking", "judging", "packing",
    "money", "insight",
)  # fmt: skip
WIRING = ("settings", "urls", "wsgi")
LAYERS = {"urls": 5, "views": 4, "forms": 3, "imports": 3, "pdf": 3, "actions": 2, "queries": 1,
          "models": 0}  # fmt: skip
NO_TEAM = {"User", "Team", "SignInLink"}  # people, and the team itself
NOT_PLAIN = {"User.password", "Team.slug", "Criterion.key"}  # hashed, or made of letters only


def sources() -> Iterator[tuple[str, Path]]:
    for path in sorted(SOURCE.rglob("*.py")):
        if "migrations" not in path.parts:
            yield ".".join(path.relative_to(ROOT).with_suffix("").parts), path


def imported(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def rank(module: str) -> int | None:
    """How high a module stands: 0 on the ground, one more each app; None if it is not ours."""
    parts = module.split(".")
    if parts[0] != "teamops" or len(parts) < 2:
        return None
    if parts[1] in GROUND:
        return 0
    return ORDER.index(parts[1]) + 1 if parts[1] in ORDER else len(ORDER) + 1


def test_imports_only_go_down():
    wrong = set()
    for module, path in sources():
        own, mine = module.split(".")[1], rank(module) or 0
        for other in imported(path):
            theirs = rank(other)
            if theirs is None or other.split(".")[1] == own:
                continue
            if theirs > mine or (mine == 0 and theirs == 0):
                wrong.add(f"{own} imports {other.split('.')[1]} ({module})")
    assert not wrong, "\n".join(sorted(wrong))


def test_nobody_imports_the_wiring():
    for module, path in sources():
        used = {name.split(".")[1] for name in imported(path) if name.startswith("teamops.")}
        assert not used & set(WIRING), f"{module} imports {used & set(WIRING)}"


def test_numbers_paper_and_tables_know_no_django():
    for module, path in sources():
        if module.split(".")[1] in ("calc", "paper", "tabular"):
            names = {name.split(".")[0] for name in imported(path)}
            assert not names & {"django", "allauth", "simple_history"}, f"{module} knows Django"


def layer(module: str) -> int | None:
    parts = module.split(".")
    return LAYERS.get(parts[2]) if len(parts) > 2 and parts[1] in ORDER else None


def test_inside_an_app_imports_go_down_too():
    """urls > views > forms, imports, pdf; views > actions > queries > models."""
    wrong = set()
    for module, path in sources():
        mine = layer(module)
        if mine is None:
            continue
        for other in imported(path):
            theirs = layer(other)
            if theirs is not None and theirs > mine:
                wrong.add(f"{module} imports {other}")
    assert not wrong, "\n".join(sorted(wrong))


def our_models() -> list[type[models.Model]]:
    return [
        model
        for model in apps.get_models()
        if model.__module__.startswith("teamops.") and not model.__name__.startswith("Historical")
    ]


@pytest.mark.parametrize("model", our_models(), ids=lambda model: model.__name__)
def test_each_model_reaches_a_team(model, team):
    if model.__name__ in NO_TEAM:
        assert not hasattr(model.objects, "for_team"), f"take {model.__name__} off NO_TEAM"
        return
    assert not model.objects.for_team(team).exists()


def test_each_text_column_is_plain_text():
    """It refuses NUL and has a length; words that one chooses from are safe already."""
    for model in our_models():
        for field in model._meta.get_fields():
            if not isinstance(field, models.CharField | models.TextField) or field.choices:
                continue
            name = f"{model.__name__}.{field.name}"
            fine = isinstance(field, PlainTextField | models.EmailField) or not field.editable
            assert fine or name in NOT_PLAIN, f"{name} should be a PlainTextField"


def test_decimals_fit_in_what_sqlite_keeps():
    for model in our_models():
        for field in model._meta.get_fields():
            if isinstance(field, models.DecimalField):
                assert field.max_digits <= 15, f"{model.__name__}.{field.name} has too many digits"


def views(
    resolver: URLResolver | None = None, prefix: str = ""
) -> Iterator[tuple[str, URLPattern]]:
    resolver = resolver or get_resolver()
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLResolver):
            space = f"{prefix}{pattern.namespace}:" if pattern.namespace else prefix
            yield from views(pattern, space)
        else:
            yield f"{prefix}{pattern.name}", pattern


def test_each_view_declares_who_may_use_it():
    seen = 0
    for name, pattern in views():
        callback = pattern.callback
        if callback.__module__.startswith("teamops."):
            seen += 1
            assert hasattr(callback, "access"), f"{name} declares no permission"
    assert seen > 20


def test_url_names_are_verb_and_noun():
    for name, pattern in views():
        if pattern.callback.__module__.startswith("teamops."):
            assert re.fullmatch(r"([a-z]+:)?[a-z]+(_[a-z]+)*", name), name


def test_no_template_lies_unused():
    folder = ROOT / "templates"
    texts = [path.read_text() for _, path in sources()]
    texts += [path.read_text() for path in folder.rglob("*.html")]
    everything = "\n".join(texts)
    overriding = ("account", "allauth", "mfa", "403.html", "404.html", "500.html", "400.html")
    for path in sorted(folder.rglob("*.*")):
        name = path.relative_to(folder).as_posix()
        if name.split("/")[0] not in overriding:
            assert f'"{name}"' in everything, f"nobody uses templates/{name}"


def test_no_style_or_script_inside_a_page():
    """The strict policy would block them, silently."""
    for path in (ROOT / "templates").rglob("*.html"):
        text = path.read_text()
        assert not re.search(r"\sstyle=|<style|\son[a-z]+=|hx-on", text), path
        assert not re.search(r"<script(?![^>]*(\ssrc=|application/json))", text), path


def test_tracked_models_refuse_plain_bulk_writes(team):
    """The guard that every test runs under (tests/conftest.py) sees what history would miss."""
    ContestFactory(team=team)
    with pytest.raises(AssertionError, match="history"):
        Contest.objects.for_team(team).update(name="unseen")
    with pytest.raises(AssertionError, match="history"):
        Contest.objects.bulk_create([])
