"""The score table's page: one address to read it, type it and save it."""


import pytest

from teamops.judging.models import Result, ScoreSheet
from tests.factories.contests import EntryFactory
from tests.judging.pages import FIVE, sent, url_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def entry(team):
    return EntryFactory(contest__team=team, contest__past=True)


def test_an_empty_table_has_a_row_for_each_judge_expected(signed_in, entry):
    page = signed_in.get(url_of(entry))
    assert page.status_code == 200
    assert len(page.context["sheets"].forms) == 5


def test_a_typed_table_is_saved_and_shown(signed_in, entry):
    answer = signed_in.post(url_of(entry), sent(entry, FIVE, official_total="214"), follow=True)
    assert "our total is 215" in answer.text
    assert "Our sum 215, posted 214: 1 short." in answer.text
    assert Result.objects.get(entry=entry).total == 215
    assert ScoreSheet.objects.count() == 5
