"""The kit of the two invented households as it stood on days of their year."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest

from app.domain.reading import Doubt
from app.review.kit import KitShown, kit_shown
from app.review.record import record_of
from tests.households import sample_of


def shown_on(folder: Path, name: str, when: datetime) -> KitShown:
    with sample_of(folder, name) as (diary, person):
        return kit_shown(diary, record_of(diary, person), now=when)


@pytest.mark.parametrize(
    ("name", "reason", "count", "first"),
    [
        ("Tilde", Doubt.VIAL, 16, date(2026, 1, 1)),  # the grey vial that was used too long
        ("Tilde", Doubt.CONTROL, 9, date(2026, 2, 28)),  # since the spare meter passed last
        ("Corwin", Doubt.VIAL, 18, date(2026, 6, 27)),  # strips that lay in the car
    ],
)
def test_each_scripted_fault_of_the_year_is_in_doubt(
    tmp_path: Path, name: str, reason: Doubt, count: int, first: date
) -> None:
    with sample_of(tmp_path, name) as (diary, person):
        columns = record_of(diary, person).columns

    found = columns.where((columns.doubt & reason) != 0)

    assert len(found) == count
    assert first <= date.fromordinal(int(found.day.min()))
    assert np.unique(found.meter).size == 1


def test_a_failed_control_test_is_told_first_and_waits(tmp_path: Path) -> None:
    shown = shown_on(tmp_path, "Tilde", datetime(2026, 3, 13, 19, 20, tzinfo=UTC))

    fail = shown.fails[0]

    assert shown.warnings[0].code == "failed"
    assert shown.warnings[0].what == "Control test failed: 9 readings in doubt"
    assert (fail.in_doubt, len(fail.ids), fail.waits) == (9, 9, True)
    assert [(each.side, each.passed_with, each.released) for each in fail.offers] == [
        ("vial", "S5", 0)
    ]
    assert [each.code for each in fail.steps if each.done] == ["new_vial"]
    assert fail.steps[-1].code == "stop"


def test_the_car_s_vial_is_out_of_date_while_it_is_used(tmp_path: Path) -> None:
    shown = shown_on(tmp_path, "Corwin", datetime(2026, 7, 3, 20, tzinfo=UTC))

    lapsed = [each for each in shown.warnings if each.code == "lapsed"]

    assert [each.day for each in lapsed] == [date(2025, 12, 19).toordinal()]
    assert lapsed[0].now is True


def test_strips_left_are_those_of_the_vials_in_use_on_that_day(tmp_path: Path) -> None:
    shown = shown_on(tmp_path, "Tilde", datetime(2026, 3, 13, 19, 20, tzinfo=UTC))

    left = {each.vial.name: each.left.left for each in shown.vials if each.in_use}

    assert set(left) == {"B14", "G3", "S5"}
    assert left["S5"] == 49  # one for its control test
    assert left["G3"] is None  # nobody said how many it holds
    assert shown.strips.uncounted == ("G3",)
    assert shown.strips.forecast.runs_out is None


def test_nothing_of_later_days_is_in_the_kit_of_a_day(tmp_path: Path) -> None:
    shown = shown_on(tmp_path, "Tilde", datetime(2026, 2, 27, 20, tzinfo=UTC))

    assert shown.fails == ()
    assert [each.judged.test.glucose.value for each in shown.tests] == ["6.4"]


def test_who_has_no_kit_has_no_warnings(tmp_path: Path) -> None:
    shown = shown_on(tmp_path, "Corwin", datetime(2025, 8, 20, tzinfo=UTC))

    assert shown.tests == ()
    assert [each.code for each in shown.warnings] == []
