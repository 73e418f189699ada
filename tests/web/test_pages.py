"""The frame of every page, its bar, and what is said when something is not there."""

import json
import re

import pytest
from django.core.exceptions import BadRequest, PermissionDenied
from django.db import OperationalError
from django.http import Http404, HttpResponse
from django.template import Context, Template, engines
from django.test import Client, RequestFactory
from django.urls import path, reverse
from django_htmx.middleware import HtmxDetails

from teamops.web.pages import open_view, page_or_part, vary_on_htmx
from tests.factories.teams import TeamFactory


def refuse(error: Exception):
    @open_view
    def view(request):
        raise error

    return view


urlpatterns = [
    path("denied/", refuse(PermissionDenied("Only an owner of <Oak> may do this."))),
    path("gone/", refuse(Http404())),
    path("bad/", refuse(BadRequest())),
    path("broken/", refuse(RuntimeError("a fault of ours"))),
]
from teamops.urls import urlpatterns as real

urlpatterns += real


@pytest.fixture
def faulty(settings, db) -> Client:
    settings.ROOT_URLCONF = __name__
    return Client(raise_request_exception=False)


# The frame


def frame(client) -> str:
    return client.get(reverse("account_login")).content.decode()


def test_htmx_is_version_two_set_up_for_a_strict_policy(client, db):
    page = frame(client)
    assert "django_htmx/htmx-2.min.js" in page
    config = json.loads(re.search(r"name=\"htmx-config\" content='([^']+)'", page).group(1))
    assert config["allowEval"] is config["includeIndicatorStyles"] is False
    assert config["allowScriptTags"] is False
    assert config["selfRequestsOnly"] is config["refreshOnHistoryMiss"] is True
    assert config["historyCacheSize"] == 0


@pytest.mark.parametrize(
    ("status", "swaps"),
    [(200, True), (204, False), (302, True), (409, True), (422, True),
     (400, False), (401, False), (403, False), (404, False), (500, False)],
)  # fmt: skip
def test_htmx_swaps_answers_and_refusals_but_no_faults(client, db, status, swaps):
    """The first rule whose pattern is found in the status decides, as htmx does it."""
    config = json.loads(re.search(r"content='(\{.+?\})'", frame(client)).group(1))
    rule = next(r for r in config["responseHandling"] if re.search(r["code"], str(status)))
    assert rule["swap"] is swaps


def test_a_press_by_htmx_carries_its_token(client, db):
    headers = re.search(r"hx-headers='([^']+)'", frame(client)).group(1)
    assert len(json.loads(headers)["X-CSRFToken"]) == 64


def test_the_policy_lets_nothing_inline_run(client, db):
    policy = client.get(reverse("account_login"))["Content-Security-Policy"]
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == rules["style-src"] == rules["connect-src"] == "'self'"
    assert rules["frame-ancestors"] == rules["base-uri"] == "'none'"
    assert "unsafe" not in policy
    assert "*" not in policy


def test_the_page_can_be_skipped_to_and_has_a_name(client, db):
    page = frame(client)
    assert '<a class="skip" href="#main">' in page
    assert 'id="main"' in page
    assert "<title>Sign in</title>" in page
    assert '<html lang="en">' in page


# The bar


@pytest.mark.parametrize("section", ["season", "scores", "packing", "team", ""])
def test_the_bar_marks_the_section_one_is_in(rf, owner, section):
    request = rf.get("/")
    request.team, request.user = owner.team, owner.user
    source = '{% extends "base.html" %}{% block section %}' + section + "{% endblock %}"
    page = engines["django"].from_string(source).render({}, request)
    marked = re.findall(r'<a href="[^"]+" aria-current="true">(\w+)</a>', page)
    assert marked == ([section.capitalize()] if section else [])
    assert re.findall(r"<nav.+?</nav>", page, re.DOTALL)[0].count("<a ") == 4
    assert 'href=""' not in page


def test_without_a_team_there_are_no_sections(client, db):
    page = frame(client)
    assert 'aria-label="Sections"' not in page
    assert "<b>Teamops</b>" in page


def test_a_teams_name_cannot_break_the_bar(client, owner):
    owner.team.name = "<script>alert(1)</script>"
    owner.team.save()
    client.force_login(owner.user)
    page = client.get(reverse("team:show_team", args=[owner.team.slug])).content.decode()
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_the_menu_signs_out_by_a_press(signed_in):
    page = signed_in.get(reverse("teams:show_account")).content.decode()
    menu = re.search(r'<details class="person">.+?</details>', page, re.DOTALL).group()
    assert 'method="post"' in menu
    assert f'action="{reverse("account_logout")}"' in menu
    assert reverse("teams:show_account") in menu


# What is not there


@pytest.mark.parametrize(
    ("where", "status", "says"),
    [
        ("/denied/", 403, "Only an owner of &lt;Oak&gt; may do this."),
        ("/gone/", 404, "Nothing here"),
        ("/nowhere/at/all/", 404, "Nothing here"),
        ("/bad/", 400, "Not understood"),
        ("/broken/", 500, "Something broke, and not on your side"),
    ],
)
def test_faults_are_said_on_our_own_page(faulty, where, status, says):
    answer = faulty.get(where)
    page = answer.content.decode()
    assert answer.status_code == status
    assert says in page
    assert "css/teamops.css" in page
    assert "a fault of ours" not in page


def test_a_press_that_nobody_vouches_for_is_explained(member):
    client = Client(enforce_csrf_checks=True)
    client.force_login(member.user)
    answer = client.post(reverse("teams:add_team"), {"name": "Elm"})
    assert answer.status_code == 403
    assert "Press once more" in answer.content.decode()


def test_the_broken_page_needs_no_database(rf):
    page = engines["django"].get_template("500.html").render()
    assert "Something broke" in page


# Health and robots


def test_health_says_ok_to_anybody_and_is_never_kept(client, db):
    answer = client.get("/healthz")
    assert (answer.status_code, answer.content) == (200, b"ok\n")
    assert answer["Content-Type"] == "text/plain"
    assert "no-store" in answer["Cache-Control"]
    assert client.post("/healthz").status_code == 405


def test_health_says_when_the_database_is_gone(client, db, monkeypatch):
    def fail(*args):
        raise OperationalError("connection refused at secret-host")

    with monkeypatch.context() as patch:
        patch.setattr("teamops.web.views.connection.cursor", fail)
        answer = client.get("/healthz")
    assert answer.status_code == 503
    assert b"secret-host" not in answer.content


def test_robots_are_sent_away(client, db):
    assert client.get("/robots.txt").content == b"User-agent: *\nDisallow: /\n"


# Parts


def ask(**headers: str):
    request = RequestFactory().get("/", headers=headers)
    request.htmx = HtmxDetails(request)
    return request


def test_a_swap_gets_the_part_and_a_visit_the_page():
    assert page_or_part(ask(), "page", "part") == "page"
    assert page_or_part(ask(HX_Request="true"), "page", "part") == "part"
    restore = ask(HX_Request="true", HX_History_Restore_Request="true")
    assert page_or_part(restore, "page", "part") == "page"
    assert page_or_part(RequestFactory().get("/"), "page", "part") == "page"


def test_caches_keep_page_and_part_apart():
    assert vary_on_htmx(HttpResponse())["Vary"] == "HX-Request"


# Template words


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("{% capture as word %}  Season {% endcapture %}[{{ word }}]", "[Season]"),
        ("{% capture as word %}{{ team }}{% endcapture %}[{{ word }}]", "[&lt;Oak&gt;]"),
    ],
)
def test_capture_keeps_words_without_the_space_around(source, says):
    assert Template(source).render(Context({"team": "<Oak>"})) == says


def test_a_strangers_team_is_as_unknown_as_none(signed_in, db):
    """Whoever is not in the team cannot even tell that it exists."""
    theirs = TeamFactory(slug="theirs")
    asked = [
        signed_in.get(reverse("team:show_team", args=[slug])) for slug in ("theirs", "no-such")
    ]
    assert [answer.status_code for answer in asked] == [404, 404]
    assert theirs.name not in asked[0].content.decode()
