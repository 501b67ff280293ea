"""A small diary with rows in every table, kept of every version: python -m tests.version_diary OUT.

Run by the code of the version before a migration is added; what it wrote is kept under
tests/data/versions for good, and every later version must bring it up without losing a value.
"""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Mapping, Sequence
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

from app.domain.person import Person
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.store import schema
from app.store.diary import Diary
from app.store.diary_file import create_diary
from app.store.journal import Change
from app.work.bring_in import File, bring_in
from app.work.take_back import undo_last
from tests.households import INSTALLATION, NOW, corwin, tilde, written

RECIPE = """
name = "kitchen"
delimiter = "comma"
unit = "mmol/L"
date_format = "YYYY-MM-DD"
time_format = "HH:MM"
zone = "Europe/Lisbon"

[columns]
date = "date"
time = "time"
value = "value"
mark = "meal"
"""
LINES = """date,time,value,meal
2026-03-01,07:05,5.6,waking
2026-03-01,12:10,HI,after lunch
2026-03-01,18:20,<1.1,before dinner
2026-02-30,07:05,5.6,waking
2026-03-02,07:00,0.3,waking
"""
AT: dict[str, Any] = {
    "instant": 1773298800,
    "wall": "2026-03-12T07:00",
    "zone": "Europe/Lisbon",
    "offset_min": 0,
    "day": 739687,
    "minute": 420,
}
FROM: dict[str, Any] = {"origin": "typed", "entered_at": 1773351000}
TO_BE = "a word in Ελληνικά, 'quoted', with\nlines, a \t tab and 🩸"


def make(path: Path) -> None:
    """Write the diary to a path where nothing lies yet."""
    with create_diary(path, INSTALLATION, now=NOW) as diary:
        child, adult = tilde(diary, targets="ispad-2022"), corwin(diary)
        written(diary, child, "2026-03-12 02:10", "2.9", note=TO_BE, tags=("swim", "gym"))
        written(diary, adult, "2026-03-12 07:10", "126")
        read = read_table(LINES.encode(), read_recipe(RECIPE, where="kitchen"), unit_hint=None)
        bring_in(
            diary,
            child,
            File("kitchen.csv", LINES.encode(), read),
            now=NOW,
            recipe=("kitchen", RECIPE),
        )
        with diary.change("kit", {}, now=NOW, person=child) as change:
            _kit(change, child)
        with diary.change("days", {}, now=NOW, person=adult) as change:
            _days(change, adult)
        with diary.change("edit", {}, now=NOW + timedelta(minutes=1), person=child) as change:
            change.edit(schema.reading, 1, mark="night", mark_from="person", seq=7)
            change.delete(schema.reading, 2)
        written(diary, child, "2026-03-12 08:00", "7.7", note="taken back")
        undo_last(diary, child, now=NOW + timedelta(minutes=2))


def _kit(change: Change, person: Person) -> None:
    place = change.add(schema.place, name="kitchen", person_id=person.id)
    meter = change.add(
        schema.meter,
        person_id=person.id,
        name="blue",
        serial="B-1",
        unit="mmol/L",
        low_mg=20,  # a whole number in a column of real ones
        low_mmol=1.1,
        high_mg=600.0,
        high_mmol=33.3,
        capacity=500,
        zone="Europe/Lisbon",
        first_day=739600,
    )
    vial = change.add(
        schema.vial, lot="L 7", strips=50, printed_expiry="2026-11", opened_day=739650
    )
    solution = change.add(schema.solution, level="normal", lot="S 1", printed_expiry="2026-05-31")
    _add(
        change,
        {
            "clock_repair": {
                "meter_id": meter,
                "from_order": 1,
                "shift_s": -3600,
                "state": "applied",
            },
            "vial_range": {
                "vial_id": vial,
                "level": "normal",
                "low": "5.6",
                "high": "7.6",
                "unit": "mmol/L",
            },
            "vial_use": {"vial_id": vial, "meter_id": meter, "from_instant": 1773000000},
            "control_test": {
                **AT,
                **FROM,
                "meter_id": meter,
                "vial_id": vial,
                "solution_id": solution,
                "level": "normal",
                "value": "6.4",
                "unit": "mmol/L",
                "place_id": place,
            },
            "clock_setting": {"meter_id": meter, "at": 1773000000, "cause": "battery"},
            "clock_anchor": {
                "repair_id": 1,
                "raw_wall": "2024-01-01T00:00",
                "true_wall": "2026-03-12T07:00",
                "zone": "Europe/Lisbon",
                "true_instant": 1773298800,
            },
            "kit_item": {"kind": "lancing device", "name": "grey pen", "person_id": person.id},
            "kit_event": {"item_id": 1, "kind": "lancet", "at": 1773000000},
            "supply": {
                "kind": "strips",
                "vial_id": vial,
                "at": 1773000000,
                "count": 50,
                "why": "bought",
            },
            "memory_check": {
                "meter_id": meter,
                "at": 1773000000,
                "total": 4,
                "mine": 1,
                "control": 1,
                "not_mine": 1,
                "not_copied": 1,
            },
            "ruling": {
                "kind": "probably_one",
                "tbl": "reading",
                "row_uid": b"\x01" * 16,
                "other_uid": b"\x02" * 16,
                "verdict": "one",
            },
            "keeper": {"name": "Grandfather", "person_id": person.id},
            "care_text": {"person_id": person.id, "kind": "emergency number", "text": "112"},
            "usual_time": {"person_id": person.id, "mark": "waking", "minute": 415},
            "safety_line": {
                "person_id": person.id,
                "from_day": 739600,
                **{f"{name}_mg": mg for name, mg in _LINES.items()},
                **{f"{name}_mmol": round(mg / 18.0156, 1) for name, mg in _LINES.items()},
            },
            "zone_stretch": {
                "person_id": person.id,
                "from_instant": 1773000000,
                "to_instant": 1773100000,
                "zone": "Asia/Tokyo",
            },
        },
    )


_LINES = {"very_low": 54.0, "low": 70.0, "very_high": 250.0}


def _days(change: Change, person: Person) -> None:
    mine: dict[str, Any] = {"person_id": person.id}
    meal = change.add(
        schema.event, **mine, **AT, **FROM, kind="meal", carb_g=45.5, raw_bytes=b"\x00\xff'"
    )
    reading = change.add(
        schema.reading,
        **mine,
        **AT,
        **FROM,
        value="126",
        unit="mg/dL",
        mg_dl=126.0,
        time_from="typed",
        meal_id=meal,
        source_key=b"\x00" * 16,
        raw_bytes=b"\x06\x00\x00",
    )
    _add(
        change,
        {
            "person_setting": {**mine, "key": "night", "value": '{"from":1380}'},
            "dose": {
                **mine,
                **AT,
                **FROM,
                "what": "long",
                "amount": "0",
                "amount_num": 0,
                "unit": "U",
            },
            "ketone": {**mine, **AT, **FROM, "method": "urine", "level": "trace"},
            "help": {**mine, **AT, "reading_id": reading, "what": "woken by a neighbour"},
            "lab_result": {**mine, **AT, "kind": "a1c", "value": "6.9", "unit": "%"},
            "span": {
                **mine,
                "kind": "sick",
                "from_day": 739680,
                "to_day": 739682,
                "text": "a cold",
            },
            "change_mark": {**mine, "day": 739670, "what": "another plan"},
            "visit": {**mine, "day": 739690, "outcome": "next one in June"},
            "plan": {**mine, "name": "mornings", "kind": "fasting_bedtime", "from_day": 739670},
            "plan_rule": {
                "plan_id": 1,
                "mark": "waking",
                "rrule": "FREQ=DAILY",
                "start_wall": "2026-03-01T07:00",
                "before_min": 60,
                "after_min": 120,
            },
            "plan_exception": {"rule_id": 1, "wall": "2026-03-08T07:00", "kind": "skip"},
            "follow_rule": {**mine, "kind": "recheck", "is_on": 1, "minutes": 15},
            "due_state": {**mine, "key": "plan 1 2026-03-08T07:00", "shown_at": 1773351000},
            "ask_item": {**mine, "visit_id": 1, "text": "why are Sundays high?"},
            "question": {**mine, "spec": '{"kind":"weekdays"}', "asked_at": 1773351000},
        },
    )


def _add(change: Change, rows: Mapping[str, Mapping[str, Any]]) -> None:
    tables = {table.name: table for table in schema.USER_TABLES}
    for name, fields in rows.items():
        change.add(tables[name], **fields)


def empty_tables(diary: Diary) -> list[str]:
    """The tables of the program that have no row."""
    with closing(sqlite3.connect(diary.path)) as connection:
        return [
            name
            for name in schema.metadata.tables
            if not connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]
        ]


def main(arguments: Sequence[str]) -> None:
    """Make the diary at the path given."""
    make(Path(arguments[0]).absolute())


if __name__ == "__main__":
    main(sys.argv[1:])
