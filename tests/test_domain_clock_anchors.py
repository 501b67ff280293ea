from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.clock import moment_at, offsets_of
from app.domain.clock_anchors import Anchor, fitted, moment_held, moment_of, true_moment
from tests.memories import a_wall

ZONE = "Europe/Lisbon"
SHOWN = st.datetimes(a_wall("2000-01-01"), a_wall("2026-01-01")).map(
    lambda wall: wall.replace(second=0, microsecond=0)
)
INSTANTS = st.integers(1_500_000_000, 1_900_000_000).map(lambda at: at // 60 * 60)


def anchor(shown: str, true: str) -> Anchor:
    wall = datetime.fromisoformat(true)
    return Anchor(datetime.fromisoformat(shown), moment_at(wall, ZONE, offsets_of(wall, ZONE)[0]))


BATTERY = anchor("2020-01-01T00:00", "2026-11-14T18:20")


def test_one_known_moment_moves_every_stamp_by_the_same_time() -> None:
    stamps = ("2020-01-01T00:20", "2020-01-05T22:10", "2020-01-10T13:05")

    found = [true_moment(datetime.fromisoformat(each), BATTERY).wall for each in stamps]

    assert found == ["2026-11-14T18:40", "2026-11-19T16:30", "2026-11-24T07:25"]
    assert fitted([BATTERY]).state == "one"


def test_a_clock_runs_on_when_summer_time_ends() -> None:
    known = anchor("2024-01-01T00:00", "2026-10-24T12:00")

    assert true_moment(a_wall("2024-01-02"), known).wall == "2026-10-25T11:00"


def test_known_moments_that_agree_to_two_minutes_are_the_same() -> None:
    fit = fitted([BATTERY, anchor("2020-01-10T13:05", "2026-11-24T07:27")])

    assert (fit.state, fit.drift_ppm, fit.apart_s) == ("same", 0, 120)


def test_a_rate_that_a_quartz_clock_can_have_is_a_drift() -> None:
    # 100 days, 30 minutes: 208 millionths, worked by hand.
    known = [
        anchor("2024-01-01T00:00", "2025-11-22T09:40"),
        anchor("2024-04-10T00:00", "2026-03-02T10:10"),
    ]

    fit = fitted(known)

    assert (fit.state, fit.drift_ppm, fit.apart_s) == ("drift", 208, 1800)
    half = true_moment(a_wall("2024-02-20"), known[0], drift_ppm=fit.drift_ppm)
    assert half.wall == "2026-01-11T09:55"


def test_forty_minutes_in_ten_days_are_a_disagreement() -> None:
    fit = fitted([BATTERY, anchor("2020-01-10T13:05", "2026-11-24T08:05")])

    assert (fit.state, fit.apart_s) == ("disagrees", 2400)


def test_three_known_moments_need_one_rate_for_all() -> None:
    first = anchor("2024-01-01T00:00", "2025-11-22T09:40")
    bent = anchor("2024-02-20T00:00", "2026-01-11T09:40")
    last = anchor("2024-04-10T00:00", "2026-03-02T10:10")

    assert fitted([first, last]).state == "drift"
    assert fitted([first, bent, last]).state == "disagrees"


def test_two_truths_for_one_stamp_disagree() -> None:
    fit = fitted([BATTERY, anchor("2020-01-01T00:00", "2026-11-14T19:20")])

    assert (fit.state, fit.apart_s) == ("disagrees", 3600)


def test_no_known_moment_is_a_fault_of_the_caller() -> None:
    with pytest.raises(ValueError, match="at least one anchor"):
        fitted([])


@given(shown=SHOWN, true=INSTANTS, minutes=st.integers(-10_000_000, 10_000_000))
def test_a_shift_and_its_opposite_are_no_shift(shown: datetime, true: int, minutes: int) -> None:
    moved = shown + timedelta(minutes=minutes)
    there = Anchor(shown, moment_of(true, "UTC"))
    back = Anchor(there.true.local, moment_of(int(_epoch(shown)), "UTC"))

    once = true_moment(moved, there)

    assert true_moment(once.local, back).local == moved


@given(st.lists(st.tuples(SHOWN, INSTANTS), min_size=1, max_size=4), st.randoms())
def test_the_order_of_known_moments_never_matters(
    told: list[tuple[datetime, int]], random: st.DrawFn
) -> None:
    known = [Anchor(shown, moment_of(true, ZONE)) for shown, true in told]
    mixed = list(known)
    random.shuffle(mixed)  # type: ignore[attr-defined]

    shown = [each.shown for each in known]
    if len(set(shown)) == len(shown):
        assert fitted(mixed) == fitted(known)
    assert fitted(mixed).state == fitted(known).state


@given(INSTANTS)
def test_a_held_moment_is_read_back_as_it_was(instant: int) -> None:
    moment = moment_of(instant, ZONE)

    assert moment_held(moment.instant, moment.wall, moment.zone) == moment


def _epoch(wall: datetime) -> float:
    return (wall - a_wall("1970-01-01")).total_seconds()
