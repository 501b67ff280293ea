from __future__ import annotations

from calendar import monthrange
from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest

from app.domain.reading import Standing
from sample_db import corwin_life, tilde, tilde_life
from sample_db.household import Household, totals
from sample_db.kit import Vial, vial_at
from sample_db.records import Result
from sample_db.script import Noted
from sample_db.year import lived

# Every expected number belongs to the households' description: it was fixed before this builder
# was written.

BOTH = pytest.mark.parametrize("household", [tilde_life.household, corwin_life.household])


def _counted(home: Household) -> list[Result]:
    return [each for each in home.results if each.standing is Standing.COUNTED and each.is_held]


def _last_good_day(vial: Vial) -> date:
    year, month, *day = map(int, vial.printed_expiry.split("-"))
    printed = date(year, month, day[0] if day else monthrange(year, month)[1])
    return min(printed, vial.opened + timedelta(days=vial.days_open))


def _past_their_vial(home: Household) -> list[Result]:
    last = {vial.name: _last_good_day(vial) for vial in home.vials}
    found = []
    for result in home.results:
        vial = vial_at(home.vial_uses, result.meter, result.moment)
        if vial is not None and result.moment.local.date() > last[vial]:
            found.append(result)
    return found


def test_tildes_year_adds_up_after_the_events() -> None:
    found = totals(tilde_life.household())

    assert (found.glucose, found.lost, found.held) == (1765, 5, 1760)
    assert (found.not_mine, found.paper_only) == (2, 4)
    assert (found.ketones, found.controls) == (10, 3)


def test_corwins_year_adds_up_after_the_events() -> None:
    found = totals(corwin_life.household())

    assert (found.glucose, found.lost, found.held) == (748, 4, 744)
    assert (found.not_mine, found.paper_only) == (3, 0)
    assert (found.ketones, found.controls) == (0, 3)


@BOTH
def test_what_a_diary_counts_is_what_it_holds(household: Callable[[], Household]) -> None:
    home = household()

    assert len(_counted(home)) == totals(home).held


@BOTH
def test_every_record_has_an_id_of_its_own_that_stays(household: Callable[[], Household]) -> None:
    home = household()
    ids = [
        each.uid
        for row in (
            home.results,
            home.controls,
            home.ketones,
            home.visits,
            home.spans,
            home.events,
            home.vials,
            home.meters,
            home.clock_settings,
            home.clock_repairs,
        )
        for each in row
    ]

    assert len(set(ids)) == len(ids)
    assert all(each.int for each in ids)
    household.cache_clear()  # type: ignore[attr-defined]
    assert household() == home


@BOTH
def test_results_stand_in_order_of_time(household: Callable[[], Household]) -> None:
    instants = [each.moment.instant for each in household().results]

    assert instants == sorted(instants)


@BOTH
def test_a_repair_takes_a_stamp_to_the_true_wall_time(household: Callable[[], Household]) -> None:
    home = household()
    repairs = {
        (repair.meter, order): repair.shift_s
        for repair in home.clock_repairs
        for order in range(repair.first_order, repair.last_order + 1)
    }

    for result in home.results:
        if result.memory_order is None or result.moment.zone != home.wishes.zone:
            continue
        shift = repairs.get((str(result.meter), result.memory_order), 0)
        stamped = datetime.fromisoformat(str(result.stamp.wall))
        assert stamped + timedelta(seconds=shift) == result.moment.local
        assert result.time_state == ("repaired" if shift else "sure")


def test_a_repair_says_the_anchor_that_it_rests_on() -> None:
    for home in (tilde_life.household(), corwin_life.household()):
        for repair in home.clock_repairs:
            true = datetime.fromisoformat(repair.true_wall)
            raw = datetime.fromisoformat(repair.raw_wall)

            assert (true - raw).total_seconds() == repair.shift_s


def test_sixteen_readings_at_school_were_made_with_strips_past_their_date() -> None:
    doubted = _past_their_vial(tilde_life.household())

    assert len(doubted) == 16
    assert {each.meter for each in doubted} == {"grey"}
    assert doubted[0].moment.wall >= "2026-01-01"


def test_control_tests_pass_or_fail_by_the_range_on_their_vial() -> None:
    verdicts = []
    for home in (tilde_life.household(), corwin_life.household()):
        ranges = {vial.name: (vial.control_low, vial.control_high) for vial in home.vials}
        for test in home.controls:
            low, high = ranges[str(test.vial)]
            verdicts.append(float(str(low)) <= float(test.value) <= float(str(high)))

    assert verdicts == [True, False, True, True, True, True]


def test_the_eighteen_readings_of_the_journey_were_made_with_strips_open_too_long() -> None:
    home = corwin_life.household()
    doubted = _past_their_vial(home)

    assert len(doubted) == 18
    assert {each.place for each in doubted} == {"Lisbon"}


def test_a_note_beside_no_reading_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing to change"):
        lived(tilde_life.HOME, tilde.truth(), [Noted("2025-09-01T03:33", "nobody was up")])
