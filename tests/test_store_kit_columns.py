"""The doubt in the columns follows the kit, whatever is changed about it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.clock import Moment, moment_at
from app.domain.control import judge
from app.domain.control_doubt import failed_tests
from app.domain.errors import Refused
from app.domain.glucose import Glucose, Unit
from app.domain.kit import ControlRange
from app.domain.person import Person
from app.domain.reading import Doubt
from app.store import schema
from app.store.columns import Columns, columns_of, refreshed
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.store.people import persons
from app.store.readings import readings_of
from app.work.kit_tests import narrow, note_control, note_kit_event
from app.work.kit_things import add_meter
from app.work.kit_vials import add_vial, edit_vial, use_vial
from app.work.take_back import undo_last
from tests.households import NOW, new_diary, tilde, written

RANGE = ControlRange("normal", "5.2", "7.8", Unit.MMOL_L)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def at(day: int, hour: int = 12) -> Moment:
    wall = datetime(2026, 3, day, hour, tzinfo=UTC).replace(tzinfo=None)
    return moment_at(wall, "Europe/Lisbon", 0)


def _household(diary: Diary) -> Person:
    found = persons(diary)
    if found:
        return found[0]
    person = tilde(diary)
    for name in ("blue", "spare"):
        add_meter(diary, person, name, now=NOW)
    for lot in ("A", "B"):
        add_vial(diary, person, now=NOW, lot=lot, opened=date(2026, 3, 1), ranges=[RANGE])
    for day in range(1, 10):
        written(diary, person, f"2026-03-0{day} 07:05", "5.6")
        written(diary, person, f"2026-03-0{day} 19:05", "3.4")
    with diary.change("edit", {}, now=NOW, person=person) as change:
        for row in range(1, 19):
            change.edit(schema.reading, row, meter_id=1 + row % 2)
    return person


_step = st.tuples(
    st.sampled_from(["date", "use", "pass", "fail", "range", "heat", "narrow", "site", "undo"]),
    st.integers(1, 9),
)


@settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps=st.lists(_step, max_size=7))
def test_doubt_kept_in_step_is_that_loaded_anew_and_that_of_the_list(
    diary: Diary, steps: list[tuple[str, int]]
) -> None:
    person = _household(diary)
    kept = columns_of(diary, person)

    for what, which in steps:
        try:
            _do(diary, person, what, which)
        except Refused:
            continue
        kept = refreshed(diary, person, kept)
        anew = columns_of(diary, person)

        assert all(
            np.array_equal(getattr(kept, each.name), getattr(anew, each.name))
            for each in fields(Columns)
        )
        assert [each.doubt for each in readings_of(diary, person)] == anew.doubt.tolist()


def _do(diary: Diary, person: Person, what: str, which: int) -> None:
    kit = kit_of(diary)
    vial, meter = kit.vials[which % 2], kit.meters[which % 2]
    if what == "date":
        edit_vial(diary, person, vial, {"printed_expiry": f"2026-03-0{which}"}, now=NOW)
    elif what == "use":
        use_vial(diary, person, vial, kit.meters[which // 2 % 2], at(which), now=NOW)
    elif what in ("pass", "fail"):
        value = Glucose("6.0" if what == "pass" else "9.0", Unit.MMOL_L)
        note_control(diary, person, value, at(which, 9), now=NOW, meter=meter, level="normal")
    elif what == "range":
        low = ControlRange("normal", "1.0", f"{which}.5", Unit.MMOL_L)
        edit_vial(diary, person, vial, {}, now=NOW, ranges=[low])
    elif what == "heat":
        note_kit_event(diary, person, "heat", at(which), now=NOW, vial=vial)
    elif what == "narrow":
        for each in failed_tests(kit, judge(kit))[:1]:
            narrow(diary, person, each, "vial" if each.offers else "keep", now=NOW)
    elif what == "site":
        with diary.change("edit", {}, now=NOW, person=person) as change:
            change.edit(schema.reading, which, site="forearm")
    else:
        undo_last(diary, person, now=NOW)


def test_a_meal_that_is_written_later_puts_the_forearm_in_doubt_at_once(diary: Diary) -> None:
    person = _household(diary)
    with diary.change("edit", {}, now=NOW, person=person) as change:
        change.edit(schema.reading, 1, site="forearm")
    before = columns_of(diary, person)

    with diary.change("edit", {}, now=NOW, person=person) as change:
        change.add(
            schema.event,
            person_id=person.id,
            kind="meal",
            instant=int(datetime(2026, 3, 1, 6, tzinfo=UTC).timestamp()),
            wall="2026-03-01T06:00",
            zone="Europe/Lisbon",
            offset_min=0,
            day=date(2026, 3, 1).toordinal(),
            minute=360,
            origin="typed",
            entered_at=change.at,
        )

    assert before.doubt.tolist()[0] == 0
    assert refreshed(diary, person, before).doubt.tolist()[0] == Doubt.SITE


@pytest.mark.parametrize("bits", [1 << bit for bit in range(12)])
def test_what_a_device_noted_is_doubted_in_columns_and_list_alike(diary: Diary, bits: int) -> None:
    person = _household(diary)
    with diary.change("edit", {}, now=NOW, person=person) as change:
        change.edit(schema.reading, 1, status_bits=bits)

    doubt = columns_of(diary, person).doubt.tolist()

    expected = {0: Doubt.NONE, 5: Doubt.NONE, 6: Doubt.NONE, 11: Doubt.CLOCK}
    assert doubt[0] == expected.get(bits.bit_length() - 1, Doubt.DEVICE)
    assert [each.doubt for each in readings_of(diary, person)] == doubt


def test_the_calendar_day_decides_and_not_the_day_that_begins_at_four(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary, day_start=4)
        meter = add_meter(diary, person, "blue", now=NOW)
        start = int(datetime(2026, 3, 1, tzinfo=UTC).timestamp())
        add_vial(
            diary,
            person,
            now=NOW,
            lot="A",
            printed="2026-03-08",
            meter=kit_of(diary).meter(meter.id),
            since=start,
        )
        for time in ("2026-03-08 23:00", "2026-03-09 02:00"):
            written(diary, person, time, "5.6")
        with diary.change("edit", {}, now=NOW, person=person) as change:
            for row in (1, 2):
                change.edit(schema.reading, row, meter_id=meter.id)

        assert columns_of(diary, person).doubt.tolist() == [0, Doubt.VIAL]
