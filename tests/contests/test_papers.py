"""Papers: numbers to show, and days on which they run out."""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from teamops.contests.models import TeamPaper
from teamops.contests.queries import paper_rows, papers_due, papers_short, today_of
from tests.factories.contests import ContestFactory, TeamPaperFactory
from tests.factories.teams import MembershipFactory


@pytest.fixture
def today(team):
    return today_of(team)


def test_a_paper_is_added_renewed_and_taken_off(signed_in, team, member):
    add = reverse("contests:add_paper", args=[team.slug])
    show = reverse("contests:show_papers", args=[team.slug])
    assert "No paper yet" in signed_in.get(show).content.decode()
    typed = {"kind": "exting", "name": "10 lb ABC", "number": "A-77", "expires_on": "2027-06-09"}
    assert signed_in.post(add, typed).url == show
    paper = TeamPaper.objects.get()
    assert "Extinguisher tag, 10 lb ABC" in signed_in.get(show).content.decode()
    change = reverse("contests:change_paper", args=[team.slug, paper.pk])
    signed_in.post(change, typed | {"expires_on": "2028-06-09", "holder": member.user.pk})
    paper.refresh_from_db()
    assert (paper.expires_on, paper.holder) == (date(2028, 6, 9), member.user)
    assert paper.history.count() == 2
    delete = reverse("contests:delete_paper", args=[team.slug, paper.pk])
    assert signed_in.post(delete).url == show
    assert signed_in.post(delete).status_code == 404


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"kind": "passport"}, "kind"),
        ({"kind": "food", "expires_on": "soon"}, "expires_on"),
        ({"kind": "food", "issued_on": "2027-06-09", "expires_on": "2027-06-08"}, "expires_on"),
        ({"kind": "food", "number": "7" * 61}, "number"),
    ],
)
def test_bad_papers_are_said_at_their_field(signed_in, team, typed, field):
    answer = signed_in.post(reverse("contests:add_paper", args=[team.slug]), typed)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert not TeamPaper.objects.exists()


def test_a_stranger_holds_no_paper_of_ours(signed_in, team):
    typed = {"kind": "food", "holder": MembershipFactory().user.pk}
    answer = signed_in.post(reverse("contests:add_paper", args=[team.slug]), typed)
    assert list(answer.context["form"].errors) == ["holder"]


def test_whoever_has_left_still_holds_what_is_theirs(signed_in, team):
    left = MembershipFactory(team=team)
    paper = TeamPaperFactory(team=team, holder=left.user)
    left.delete()
    change = reverse("contests:change_paper", args=[team.slug, paper.pk])
    assert signed_in.post(change, {"kind": "food", "holder": left.user_id}).status_code == 302


def test_it_says_on_which_contest_it_will_have_run_out(team, today):
    near = ContestFactory(team=team, name="Gravel Bar Final", held_on=today + timedelta(10))
    ContestFactory(team=team, name="Later", held_on=today + timedelta(20))
    ContestFactory(team=team, name="Off", held_on=today + timedelta(9), state="cancelled")
    for days in (7, 10, None, -1):
        TeamPaperFactory(team=team, expires_on=None if days is None else today + timedelta(days))
    warnings = [row.warning for row in paper_rows(team, today)]
    assert warnings[0].startswith("ran out on")
    assert warnings[1:] == [
        "runs out 3 days before Gravel Bar Final",
        "runs out 10 days before Later",
        "",
    ]
    assert papers_short(near, today) == [
        "Food-handler card ran out 11 days before Gravel Bar Final.",
        "Food-handler card runs out 3 days before Gravel Bar Final.",
    ]


@pytest.mark.parametrize(
    ("days", "ahead", "on"),
    [
        (31, 0, []),
        (30, 0, [0]),
        (30, 30, [0, 30]),
        (29, 29, [29]),
        (29, 28, []),
        (0, 0, [0]),
        (-5, 0, [-5]),
    ],
)
def test_it_is_due_a_month_ahead_and_on_its_last_day(team, today, days, ahead, on):
    TeamPaperFactory(team=team, expires_on=today + timedelta(days))
    rows = papers_due(team, today + timedelta(ahead))
    assert [(row.on - today).days for row in rows] == on


@pytest.mark.parametrize("many", [1, 8])
def test_papers_take_the_same_queries_however_many(team, today, many, django_assert_num_queries):
    for _ in range(many):
        holder = MembershipFactory(team=team).user
        TeamPaperFactory(team=team, expires_on=today, holder=holder)
        ContestFactory(team=team)
    with django_assert_num_queries(2):
        assert len(paper_rows(team, today)) == many
    with django_assert_num_queries(1):
        assert len(papers_due(team, today)) == many


def test_it_starts_before_it_ends(team):
    with pytest.raises(IntegrityError), transaction.atomic():
        TeamPaperFactory(team=team, issued_on=date(2027, 2, 2), expires_on=date(2027, 2, 1))
