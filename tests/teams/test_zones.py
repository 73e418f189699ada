"""Clocks by the name somebody types."""

from zoneinfo import available_timezones

import pytest

from teamops.teams.zones import zone_names, zone_typed, zones


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("chicago", "America/Chicago"),
        (" New   york ", "America/New_York"),
        ("america/los_angeles", "America/Los_Angeles"),
        ("Indianapolis", "Indianapolis"),  # two files of that name: America's, and Indiana's
        ("UTC", "UTC"),
        ("utc", "UTC"),
        ("Steakland", "Steakland"),
        ("../../etc/passwd", "../../etc/passwd"),
        ("", ""),
    ],
)
def test_a_city_that_only_one_zone_has_is_enough(typed, meant):
    assert zone_typed(typed) == meant


def test_every_zone_means_itself():
    assert zones() == available_timezones()
    assert [zone_typed(name) for name in sorted(zones())] == sorted(zones())
    assert set(zone_names()) < zones()
