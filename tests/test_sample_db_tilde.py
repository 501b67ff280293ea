from __future__ import annotations

from app.domain.marks import Mark
from app.domain.reading import Standing
from sample_db import tilde, tilde_life
from sample_db.clocks import ClockRepair
from sample_db.household import Household
from sample_db.kit import vial_at
from sample_db.records import Result, Trace

# Every expected number belongs to the household's description: it was fixed before this builder
# was written.


def _at(home: Household, wall: str) -> Result:
    (found,) = [each for each in home.results if each.moment.wall == wall]
    return found


def _repair(home: Household, meter: str, count: int) -> ClockRepair:
    (found,) = [r for r in home.clock_repairs if r.meter == meter and r.count == count]
    return found


def test_tildes_clock_faults_hit_as_many_readings_as_the_story_says() -> None:
    home = tilde_life.household()

    assert {(r.meter, r.count) for r in home.clock_repairs} == {
        ("grey", 7),
        ("blue", 35),
        ("spare", 9),
    }
    assert _repair(home, "grey", 7).shift_s == -3600
    assert _repair(home, "spare", 9).shift_s == 3600


def test_a_battery_change_restarts_blue_at_its_factory_date() -> None:
    home = tilde_life.household()
    rows = [each for each in home.results if str(each.stamp.wall).startswith("2024-")]

    assert len(rows) == 35
    assert (rows[0].moment.wall, rows[0].stamp.wall) == ("2025-11-22T12:17", "2024-01-01T02:37")
    assert (rows[-1].moment.wall, rows[-1].stamp.wall) == ("2025-12-03T18:00", "2024-01-12T08:20")


def test_summer_time_puts_no_reading_of_blue_wrong() -> None:
    rows = tilde_life.household().between("2026-03-29T00:00", "2026-03-30T00:00")

    assert rows
    assert all(each.stamp.wall == each.moment.wall for each in rows)


def test_nine_readings_lie_between_the_passed_and_the_failed_control_test() -> None:
    home = tilde_life.household()
    passed, failed, fresh = home.controls
    between = home.between(passed.moment.wall, failed.moment.wall, "spare")

    assert [each.value for each in home.controls] == ["6.4", "8.9", "6.5"]
    assert len(between) == 9
    assert passed.vial == failed.vial != fresh.vial
    assert {vial_at(home.vial_uses, "spare", each.moment) for each in between} == {passed.vial}


def test_influenza_brings_eight_ketones_and_three_readings_of_the_night() -> None:
    home = tilde_life.household()
    ketones = [each for each in home.ketones if each.moment.wall < "2026-03"]
    added = [_at(home, f"2026-02-10T{hour}:00") for hour in ("01", "05", "09")]

    assert [each.value for each in ketones] == [
        "0.4",
        "0.8",
        "1.1",
        "1.7",
        "1.4",
        "0.9",
        "0.6",
        "0.3",
    ]
    assert [each.glucose.value for each in added] == ["16.2", "15.4", "14.8"]
    assert {(each.mark, each.meter) for each in added} == {(Mark.NONE, "blue")}


def test_the_stomach_upset_leaves_the_drawn_reading_beside_the_added_one() -> None:
    home = tilde_life.household()

    assert _at(home, "2026-05-20T07:00").glucose.value == "3.8"
    assert _at(home, "2026-05-20T07:10").glucose.value == "5.0"


def test_paper_only_rows_are_set_aside_and_say_why() -> None:
    rows = [e for e in tilde_life.household().results if e.trace is Trace.UNCONFIRMED]

    assert [each.glucose.value for each in rows] == ["6.0", "7.0", "8.0", "7.0"]
    assert {each.standing for each in rows} == {Standing.SET_ASIDE}
    assert all(each.standing_why for each in rows)


def test_the_orange_is_told_apart_by_the_hands() -> None:
    home = tilde_life.household()
    before, after = _at(home, "2026-04-18T15:40"), _at(home, "2026-04-18T15:46")

    assert (before.glucose.value, before.hands) == ("14.9", "not")
    assert (after.glucose.value, after.hands) == ("7.2", "washed")


def test_of_the_school_fortnight_five_are_lost_and_five_on_paper() -> None:
    home = tilde_life.household()
    first = home.between("2026-06-08", "2026-06-13", "grey")
    second = home.between("2026-06-15", "2026-06-20", "grey")

    assert [each.trace for each in first] == [Trace.LOST] * 5
    assert [each.trace for each in second] == [Trace.PAPER] * 5


def test_two_keepers_changed_the_picnic_reading() -> None:
    home = tilde_life.household()
    picnic = _at(home, "2026-06-28T18:23")

    assert (picnic.glucose.value, picnic.mark, picnic.note) == ("5.1", Mark.NONE, "picnic")
    assert [(e.keeper, e.reading, e.new) for e in home.edits] == [
        ("Odalys", picnic.uid, "picnic"),
        ("Bram", picnic.uid, "5.4"),
    ]


def test_tilde_swims_on_76_days() -> None:
    swims = [each for each in tilde_life.household().events if "swim" in each.tags]

    assert [each.start.local.date() for each in swims] == tilde.swim_days()
    assert len(swims) == 76
