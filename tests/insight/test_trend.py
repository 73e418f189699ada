"""Trend pictures: drawn once for their content, readable anywhere, and only help a table."""

import subprocess
import sys
from datetime import timedelta
from xml.etree import ElementTree as ET

import pytest
from django.core.cache import cache

from teamops.insight.pictures import trend_picture
from teamops.insight.pictures.names import cut_apart
from teamops.insight.pictures.trend import LONGEST, MOST_NAMES
from teamops.insight.queries.trend import NAMED_TURNS, Point, Trend, Turn
from teamops.rules.models import Criterion
from tests.factories.judging import ChangeFactory, scored_entry
from tests.insight.conftest import TODAY

SVG = "{http://www.w3.org/2000/svg}"


def trend_of(*means: float, turns: tuple[Turn, ...] = (), names: str = "Contest") -> Trend:
    points = tuple(Point(f"{names} {n}", mean) for n, mean in enumerate(means, start=1))
    return Trend("Doneness", 1.0, 10.0, points, turns)


def words_in(svg: str) -> list[str]:
    return [text.text or "" for text in ET.fromstring(svg).iter(f"{SVG}text")]


def test_contests_and_changes_stand_in_the_picture_by_name():
    svg = trend_picture(trend_of(8, 8.5, 9, turns=(Turn("Hotter grate", 2),)), "light")
    words = words_in(svg)
    assert {"Contest 1", "Contest 2", "Contest 3", "1", "1  Hotter grate"} <= set(words)


def test_words_stay_words_in_any_script():
    trend = trend_of(8, 9, names="Ωμ 火 🔥 $a$ <b>", turns=(Turn("$x$ & <y>", 1),))
    words = words_in(trend_picture(trend, "dark"))
    assert "Ωμ 火 🔥 $a$ <b> 1" in words
    assert "1  $x$ & <y>" in words


def test_of_many_contests_some_are_named_the_latest_among_them():
    words = words_in(trend_picture(trend_of(*[8.0] * 200), "light"))
    named = [word for word in words if word.startswith("Contest")]
    assert "Contest 200" in named
    assert len(named) <= MOST_NAMES


def test_the_two_contests_of_a_double_stay_apart():
    points = (Point("Old Tollbar Double A", 8.0), Point("Old Tollbar Double B", 9.0))
    words = words_in(trend_picture(Trend("Taste", 1.0, 10.0, points, ()), "light"))
    assert {"Old Tollbar…uble A", "Old Tollbar…uble B"} <= set(words)


@pytest.mark.parametrize(
    "names",
    [
        ["Old Tollbar Double A", "Old Tollbar Double B"],
        ["Old Tollbar Double A, Saturday", "Old Tollbar Double B, Saturday"],
        ["Harvest Smoke on the Green, north field", "Harvest Smoke on the Quay, north field"],
        ["x" * 40, "x" * 41, "x" * 42],
        ["Short", "Short one"],
        [f"The very same long beginning {n} and the end" for n in range(120)],
    ],
)
def test_names_are_never_cut_to_twins(names):
    cut = cut_apart(names, LONGEST)
    assert len(set(cut)) == len(names)
    assert max(map(len, cut)) <= LONGEST


def test_the_same_name_twice_is_cut_the_same():
    assert cut_apart(["Gravel Bar Grand Final"] * 2, LONGEST) == ["Gravel Bar…Final"] * 2


def test_a_contest_of_every_year_is_told_by_its_day(open_page, cook_contest):
    for weeks in (1, 53):
        cook_contest(10, 8, 9.5, 10, 9.5, weeks=weeks, name="Gravel Bar Final")
    words = open_page("show_ledger", query="season=all").context["board"].pictures[0].words
    assert "at Gravel Bar Final, 26 May 2026 first" in words
    assert "at Gravel Bar Final, 25 May 2027 last" in words


def test_a_picture_says_its_scale(open_page, cook_contest):
    for weeks, mark in ((1, 8), (2, 9)):
        cook_contest(10, mark, 9.5, 10, 9.5, weeks=weeks)
    answer = open_page("show_ledger")
    assert "Drawn from 7.3 to 10.0." in answer.context["board"].pictures[1].words
    assert "Each picture has its own scale" in answer.content.decode()


def test_a_long_name_is_cut():
    words = words_in(trend_picture(trend_of(8, 9, names="x" * 100), "light"))
    assert max(len(word) for word in words if word.startswith("x")) == LONGEST


def test_of_many_changes_the_last_are_counted():
    turns = tuple(Turn(f"Change {n}", 1) for n in range(NAMED_TURNS + 3))
    words = words_in(trend_picture(trend_of(8, 9, turns=turns), "light"))
    assert "… and 4 more" in words
    assert sum("Change" in word for word in words) == NAMED_TURNS - 1


@pytest.mark.parametrize("means", [(10.0,), (10.0, 10.0), (1.0, 1.0), (8.0, 12.0), (8.0,) * 41])
def test_any_marks_can_be_drawn(means):
    assert trend_picture(trend_of(*means), "light").lstrip().startswith("<?xml")


def test_the_picture_lies_on_nothing_and_has_two_themes():
    light, dark = (trend_picture(trend_of(8, 9, 8, 7), theme) for theme in ("light", "dark"))
    assert light != dark
    for svg in (light, dark):
        assert "#ffffff" not in svg
    with pytest.raises(KeyError):
        trend_picture(trend_of(8), "sepia")


def test_the_same_numbers_give_the_same_picture():
    assert trend_picture(trend_of(8, 9), "light") == trend_picture(trend_of(8, 9), "light")


def test_each_change_makes_the_picture_a_line_higher():
    width, height = trend_of(8, 9).size
    assert trend_of(8, 9, turns=(Turn("a", 1),)).size == (width, height + 15)
    root = ET.fromstring(trend_picture(trend_of(8, 9), "light"))
    assert root.get("width") == f"{width * 0.75:g}pt"


def test_its_words_say_what_it_shows():
    trend = trend_of(8, 7.25, 9, turns=(Turn("Hotter grate", 2),))
    assert trend.words == (
        "Doneness, mean mark at 3 contests: 8.00 at Contest 1 first, 9.00 at Contest 3 last; "
        "lowest 7.25 at Contest 2, highest 9.00 at Contest 3. "
        "Drawn from 6.5 to 10.0. “Hotter grate” from after Contest 2."
    )
    assert trend_of().words == "Doneness: no mean mark to draw."


def test_the_heavy_line_counts_the_newest_three_tenths():
    assert trend_of(8, 9, 9).smoothed == pytest.approx([8, 8.3, 8.51])


# The view -----------------------------------------------------------------------------------------


@pytest.fixture
def picture(open_page, cook_contest, team):
    """Three contests, and the address of the doneness picture on their page."""
    for weeks in (1, 2, 3):
        cook_contest(10, 6 + weeks / 2, 9.5, 10, 9.5, weeks=weeks)
    cache.clear()
    return open_page("show_ledger").context["board"].pictures[1].light


def test_the_page_leads_to_a_picture_that_is_kept_for_good(picture, signed_in):
    answer = signed_in.get(picture)
    assert answer.status_code == 200
    assert answer["Content-Type"] == "image/svg+xml"
    assert answer["Cache-Control"] == "private, max-age=31536000, immutable"
    assert "Contest 3 w…ks ago" in words_in(answer.content.decode())


def test_a_known_picture_is_not_sent_again(picture, signed_in):
    etag = signed_in.get(picture)["ETag"]
    answer = signed_in.get(picture, headers={"If-None-Match": etag})
    assert answer.status_code == 304
    assert answer.content == b""
    assert signed_in.get(picture, headers={"If-None-Match": '"other"'}).status_code == 200
    dark = picture.replace("theme=light", "theme=dark")
    assert signed_in.get(dark, headers={"If-None-Match": etag}).status_code == 200


def test_a_picture_is_drawn_once(picture, signed_in, monkeypatch):
    first = signed_in.get(picture).content
    monkeypatch.setattr("teamops.insight.pictures.trend_picture", None)
    assert signed_in.get(picture).content == first


def test_a_corrected_sheet_changes_the_address_and_ends_the_keeping(
    picture, signed_in, open_page, cook_contest
):
    old = signed_in.get(picture)
    cook_contest(10, 2, 9.5, 10, 9.5, weeks=4)
    new = signed_in.get(picture)  # the page of before asks once more
    assert new["Cache-Control"] == "private, no-cache"
    assert new["ETag"] != old["ETag"]
    assert open_page("show_ledger").context["board"].pictures[1].light != picture


def test_a_contest_that_is_left_out_is_not_drawn(open_page, picture, signed_in, cook_contest):
    entry = cook_contest(10, 2, 9.5, 10, 9.5, weeks=5, name="Left out")
    query = f"season=all&out={entry.contest.pk}"
    address = open_page("show_ledger", query=query).context["board"].pictures[1].dark
    assert "Left out" not in signed_in.get(address).content.decode()


def test_the_picture_may_style_itself_and_nothing_else(picture, signed_in):
    policy = signed_in.get(picture)["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "style-src 'unsafe-inline'" in policy
    assert "script-src" not in policy
    assert "'unsafe-inline'" not in signed_in.get("/")["Content-Security-Policy"]


def test_nobody_elses_picture(open_page, picture, team, client, stranger):
    theirs = scored_entry(table=[[9, 9, 9, 9, 9]]).rulebook
    theirs.team = stranger.team
    theirs.save()
    foreign = theirs.criteria.first()
    assert open_page("draw_trend", foreign.pk, "x").status_code == 404
    client.force_login(stranger.user)
    assert client.get(picture).status_code == 404


def test_a_criterion_without_contests_has_no_picture(open_page, picture, rulebook):
    other = Criterion.objects.exclude(rulebook=rulebook).first()
    assert other is None
    unknown = rulebook.criteria.last().pk + 1000
    assert open_page("draw_trend", unknown, "x").status_code == 404


def test_a_bad_choice_has_no_picture(open_page, picture, rulebook):
    pk = rulebook.criteria.first().pk
    assert open_page("draw_trend", pk, "x", query="since=soon").status_code == 404
    assert open_page("draw_trend", pk, "x").status_code == 200


def test_a_picture_takes_twelve_queries(picture, signed_in, django_assert_num_queries):
    with django_assert_num_queries(12):  # three of them sign in
        signed_in.get(picture)


def test_a_change_marks_the_picture_where_it_began_and_ended(open_page, cook_contest, team):
    for weeks in (1, 2, 3, 4):
        cook_contest(10, 8, 9.5, 10, 9.5, weeks=weeks)
    ChangeFactory(
        team=team,
        what="Hotter grate",
        starts_on=TODAY - timedelta(weeks=3),  # from that very contest on
        ends_on=TODAY - timedelta(weeks=2),  # that contest included
    )
    words = open_page("show_ledger").context["board"].pictures[0].words
    assert "“Hotter grate” from after Contest 4 weeks ago." in words
    assert "“no more: Hotter grate” from after Contest 2 weeks ago." in words


def test_one_contest_has_no_trend(open_page, cook_contest):
    cook_contest(10, 8, 9.5, 10, 9.5)
    assert open_page("show_ledger").context["board"].pictures == ()


def test_the_app_starts_without_matplotlib():
    code = (
        "import django, sys; django.setup(); from django.urls import get_resolver; "
        "get_resolver().url_patterns; sys.exit('matplotlib' in sys.modules)"
    )
    environment = {"DJANGO_SETTINGS_MODULE": "tests.settings", "PATH": "/usr/bin:/bin"}
    done = subprocess.run([sys.executable, "-c", code], env=environment, check=False)
    assert done.returncode == 0
