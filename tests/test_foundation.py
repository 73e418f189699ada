from tests.factories.contests import EntryFactory, TaskFactory


def test_factories_build(db):
    entry = EntryFactory()
    assert entry.rulebook.criteria.count() == 5
    assert entry.category.team == entry.contest.team == entry.contest.trip.team
    assert TaskFactory().pk
