from __future__ import annotations

from random import Random

from hypothesis import given
from hypothesis import strategies as st

from app.statistics.night_stories import NightReading, Part, night_stories

READINGS = st.lists(
    st.builds(
        NightReading,
        night=st.integers(1, 3),
        part=st.sampled_from(Part),
        instant=st.integers(0, 12),
        value=st.sampled_from([3.0, 6.0, 9.0, float("inf"), float("-inf")]),
    ),
    max_size=16,
)


def test_the_last_bedtime_and_the_first_waking_hold_the_night() -> None:
    (story,) = night_stories(
        [
            NightReading(5, Part.BEDTIME, 0, 9.0),
            NightReading(5, Part.BEDTIME, 20, 8.0),
            NightReading(5, Part.NIGHT, 10, 3.0),
            NightReading(5, Part.NIGHT, 200, 5.0),
            NightReading(5, Part.NIGHT, 220, 5.0),
            NightReading(5, Part.WAKING, 500, 7.0),
            NightReading(5, Part.WAKING, 520, 7.5),
            NightReading(5, Part.NIGHT, 600, 2.0),
        ]
    )

    assert (story.bedtime, story.waking) == (
        NightReading(5, Part.BEDTIME, 20, 8.0),
        NightReading(5, Part.WAKING, 500, 7.0),
    )
    assert story.lowest == NightReading(5, Part.NIGHT, 200, 5.0)
    assert story.has_all


def test_a_night_of_one_reading_has_no_lowest_without_a_value_in_the_night() -> None:
    (story,) = night_stories([NightReading(5, Part.WAKING, 500, 7.0)])

    assert (story.bedtime, story.lowest, story.has_all) == (None, None, False)


@given(READINGS, st.integers())
def test_the_order_of_readings_never_matters(readings: list[NightReading], seed: int) -> None:
    shuffled = list(readings)
    Random(seed).shuffle(shuffled)

    assert night_stories(readings) == night_stories(shuffled)


@given(READINGS)
def test_what_lies_between_is_after_bedtime_and_before_waking(
    readings: list[NightReading],
) -> None:
    for story in night_stories(readings):
        ours = [each for each in readings if each.night == story.night]
        bedtimes = [each.instant for each in ours if each.part is Part.BEDTIME]
        since = max(bedtimes, default=-1)
        wakings = [each.instant for each in ours if each.part is Part.WAKING]
        until = min((each for each in wakings if each > since), default=99)
        between = [
            each for each in ours if each.part is Part.NIGHT and since < each.instant < until
        ]
        assert sorted(story.between) == sorted(between)
        assert (story.waking is None) == (until == 99)
        assert story.lowest is None or story.lowest.value == min(each.value for each in between)
