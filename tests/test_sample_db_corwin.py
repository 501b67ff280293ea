from __future__ import annotations

from datetime import date, datetime, timedelta
from statistics import fmean

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.reading import Standing
from sample_db import corwin_life
from sample_db.household import Household
from sample_db.records import Result, Trace

# Every expected number belongs to the household's description: it was fixed before this builder
# was written.


def _at(home: Household, wall: str) -> Result:
    (found,) = [each for each in home.results if each.moment.wall == wall]
    return found


def _counted(home: Household) -> list[Result]:
    return [each for each in home.results if each.standing is Standing.COUNTED and each.is_held]


def test_corwins_september_is_rounded_paper() -> None:
    rows = corwin_life.household().between("2025-09-01", "2025-10-01")

    assert len(rows) == 57
    assert all(int(str(each.glucose.value)) % 5 == 0 for each in rows)
    assert {(each.trace, each.time_from) for each in rows} == {(Trace.PAPER, "paper")}


def test_a_week_of_corwins_stamps_is_twelve_hours_ahead() -> None:
    home = corwin_life.household()
    rows = home.between("2026-03-08T09:00", "2026-03-15T09:00")
    before = _at(home, "2026-03-08T06:18")

    assert len(rows) == 13
    assert all(
        datetime.fromisoformat(str(each.stamp.wall)) - each.moment.local == timedelta(hours=12)
        for each in rows
    )
    assert before.stamp.wall == "2026-03-08T05:18"


def test_corwins_lows_are_one_spell_on_his_ride() -> None:
    home = corwin_life.household()
    lows = [each for each in _counted(home) if (each.glucose.mg_dl or 0) < 70]
    ride = home.between("2026-05-16T16:00", "2026-05-16T19:00")

    assert [each.moment.wall for each in lows] == ["2026-05-16T17:20", "2026-05-16T17:37"]
    assert [each.glucose.value for each in ride] == ["58", "66", "94"]
    assert ride[0].note == "shaky at the gate"
    assert ride[-1].moment.instant - ride[0].moment.instant == 35 * 60


def test_corwins_journey_leaves_the_stamps_six_hours_behind() -> None:
    home = corwin_life.household()
    rows = [each for each in home.results if each.moment.zone == "Europe/Lisbon"]
    stamped = [each for each in rows if each.meter == "black"]
    behind = {each.moment.local - datetime.fromisoformat(str(each.stamp.wall)) for each in stamped}

    assert len(stamped) == 18
    assert behind == {timedelta(hours=6)}
    assert home.controls[-1].stamp.wall == "2026-07-01T01:00"


def test_the_borrowed_meter_is_held_in_its_own_unit() -> None:
    borrowed = _at(corwin_life.household(), "2026-06-30T12:30")

    assert borrowed.glucose.unit is Unit.MMOL_L
    assert borrowed.glucose.shown(Unit.MG_DL) == "148"
    assert (borrowed.stamp.value, borrowed.stamp.unit) == ("8.2", "mg/dL")


def test_the_overwritten_six_are_named_and_paper_has_two() -> None:
    rows = corwin_life.household().between("2026-05-21T06:07", "2026-05-23T12:21")

    assert [each.glucose.value for each in rows] == ["177", "95", "157", "208", "158", "130"]
    assert [e.moment.wall for e in rows if e.trace is Trace.PAPER] == [
        "2026-05-22T18:01",
        "2026-05-22T19:57",
    ]
    assert sum(each.trace is Trace.LOST for each in rows) == 4


def test_the_90_days_before_corwins_visit_are_as_drawn() -> None:
    rows = corwin_life.household().between("2026-02-07", "2026-05-08")

    assert len(rows) == 201
    assert len({each.moment.day for each in rows}) == 89
    assert round(fmean(float(str(each.glucose.value)) for each in rows), 1) == 152.0
    assert sum(each.mark is Mark.NONE for each in rows) == 33


def test_the_steroid_course_is_a_span_and_a_tag() -> None:
    home = corwin_life.household()
    tagged = [each for each in home.results if "steroid course" in each.tags]
    (span,) = [each for each in home.spans if each.kind == "steroid"]

    assert tagged == home.between("2025-12-08", "2025-12-15")
    assert (span.first, span.last) == (date(2025, 12, 8), date(2025, 12, 14))
