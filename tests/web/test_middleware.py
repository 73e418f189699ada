"""A sign-in that ran out: a visit, an htmx press and a script are each told in their own way."""

import pytest
from django.urls import reverse

LOGIN = "/account/login/"


@pytest.fixture
def url(team) -> str:
    return reverse("team:show_team", args=[team.slug])


def test_a_visit_is_led_to_the_sign_in_page_and_back(client, url):
    answer = client.get(url)
    assert answer.status_code == 302
    assert answer["Location"] == f"{LOGIN}?next={url}"


def test_an_htmx_press_leaves_the_page_instead_of_swapping_a_piece(client, url):
    headers = {"HX-Request": "true", "HX-Current-URL": "https://cooks.test/t/oak/scores/?x=1#y"}
    answer = client.post(url, headers=headers)
    assert answer.status_code == 401
    assert answer["HX-Redirect"] == f"{LOGIN}?next=%2Ft%2Foak%2Fscores%2F%3Fx%3D1%23y"
    assert answer.content == b""


def test_an_htmx_press_without_a_page_comes_back_to_the_first(client, url):
    answer = client.post(url, headers={"HX-Request": "true"})
    assert answer["HX-Redirect"] == f"{LOGIN}?next=%2F"


def test_the_way_back_never_leaves_this_site(client, url):
    """A page address that is not ours would be a way to lead people astray."""
    headers = {"HX-Request": "true", "HX-Current-URL": "https://x//evil.test/"}
    answer = client.post(url, headers=headers)
    followed = client.post(answer["HX-Redirect"], {"login": "nobody@example.test", "password": "x"})
    assert "evil.test" not in followed.headers.get("Location", "")


def test_a_script_gets_401(client, url):
    answer = client.post(url, headers={"Accept": "application/json"})
    assert answer.status_code == 401
    assert answer.json() == {"error": "Sign in again."}


def test_somebody_signed_in_is_left_alone(signed_in, url):
    answer = signed_in.get(url, headers={"HX-Request": "true"})
    assert answer.status_code == 200


def test_other_redirects_pass(client, db):
    answer = client.post("/account/logout/", headers={"HX-Request": "true"})
    assert answer.status_code in (302, 401)
