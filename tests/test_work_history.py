from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.readings import readings_of
from app.work.bin import in_bin, remove_person, restore_from_bin
from app.work.edit import Edit, edit_reading, put_in_bin, set_aside
from app.work.history import (
    history,
    history_of,
    next_steps,
    person_ever,
    turn_beside,
    whose_history,
)
from app.work.people import set_targets
from app.work.retype import typed_value
from app.work.take_back import redo_last, undo_last
from app.work.told import KINDS, told
from app.work.told_back import taken_back
from sample_db.build import INSTALLATION as FAMILIES
from sample_db.build import OUT
from tests.households import NOW, corwin, new_diary, tilde, written

LATER = NOW + timedelta(hours=12)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def test_the_history_reads_like_a_diary(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    set_targets(diary, person, "ispad-2022", from_day=None, now=NOW)
    undo_last(diary, person, now=NOW)
    redo_last(diary, person, now=NOW)

    assert [line.sentence for line in reversed(history(diary))] == [
        "Tilde was added.",
        "The reading 5.6, 2026-03-12 07:05 was saved.",
        "The goals “ISPAD 2022, children and young people” were put in force.",
        "Taken back: “The goals “ISPAD 2022, children and young people” were put in force”.",
        "Done again: “The goals “ISPAD 2022, children and young people” were put in force”.",
    ]


def test_the_history_of_one_person_leaves_the_others_out(diary: Diary) -> None:
    child, adult = tilde(diary), corwin(diary)
    written(diary, adult, "2026-03-12 07:05", "112")

    mine, both = history(diary, child), history(diary)

    assert [line.person for line in mine] == ["Tilde"]
    assert [line.person for line in both] == ["Corwin", "Corwin", "Tilde"]
    assert len(history(diary, limit=2)) == 2


def test_what_undo_and_redo_would_do_is_known_beforehand(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    before = next_steps(diary, person)
    undo_last(diary, person, now=NOW)
    after = next_steps(diary, person)

    assert before.undo is not None
    assert (before.undo.sentence, before.redo) == (
        "The reading 5.6, 2026-03-12 07:05 was saved.",
        None,
    )
    assert after.undo is not None
    assert after.undo.sentence == "Tilde was added."
    assert after.redo is not None
    assert after.redo.sentence == "Taken back: “The reading 5.6, 2026-03-12 07:05 was saved”."


def test_the_history_goes_on_from_any_entry(diary: Diary) -> None:
    person = tilde(diary)
    for minute in range(5):
        written(diary, person, f"2026-03-12 07:0{minute}", "5.6")
    whole = history(diary, person)

    begin = history(diary, person, limit=2)
    rest = history(diary, person, limit=50, before=begin[-1].entry)

    assert len(whole) == 6
    assert begin + rest == whole


def test_a_line_says_why_it_can_not_be_taken_back(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    undo_last(diary, person, now=NOW)

    walks, taken, added = history(diary, person)

    assert walks.why_not is not None
    assert walks.why_not.startswith("This is itself a taking back")
    assert taken.why_not == "This change was taken back already."
    assert added.why_not is None


def test_what_concerns_two_people_at_once_is_the_next_step_of_both(diary: Diary) -> None:
    child, adult = tilde(diary), corwin(diary)
    for person in (child, adult):
        written(diary, person, "2026-03-12 07:05", "7", note="x")
        put_in_bin(diary, person, [each.id for each in readings_of(diary, person)], now=NOW)
    codes = [item.code for item in in_bin(diary, now=NOW).items]
    restore_from_bin(diary, codes, now=NOW)

    step = next_steps(diary, child).undo
    undo_last(diary, child, now=NOW)

    assert step is not None
    assert step.sentence == "2 records were taken out of the bin."
    assert (readings_of(diary, child), readings_of(diary, adult)) == ([], [])
    redo_last(diary, adult, now=NOW)
    assert len(readings_of(diary, child)) == len(readings_of(diary, adult)) == 1


def test_a_removal_is_the_next_step_whoever_is_shown(diary: Diary) -> None:
    child, adult = tilde(diary), corwin(diary)
    written(diary, adult, "2026-03-12 07:05", "112")
    assert turn_beside(diary, adult) == adult

    remove_person(diary, child, name_again="Tilde", now=NOW)

    assert turn_beside(diary, adult) == child
    assert turn_beside(diary, None) == child
    undo_last(diary, child, now=NOW)
    assert turn_beside(diary, adult) == adult


def test_every_change_of_the_sample_has_a_sentence_of_its_own(tmp_path: Path) -> None:
    copy = tmp_path / "copy.thimblebook"
    copy.write_bytes(OUT.read_bytes())

    with open_diary(copy, FAMILIES) as diary:
        lines = history(diary)

    assert {line.kind for line in lines} <= KINDS
    assert all("None" not in line.sentence for line in lines)
    assert {line.by for line in lines if "," not in line.by} <= {"on this computer"}


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_sentence_does_without_words_that_were_emptied_from_the_bin(kind: str) -> None:
    said = told(kind, {})
    back = taken_back(kind, {}, rows=2)

    assert "None" not in said + back
    assert said[0].isupper() or said[0].isdigit()
    assert said.endswith(".")
    assert back.startswith("Taken back: ")


def test_a_kind_that_nobody_knows_is_shown_as_written() -> None:
    assert told("moon_watched", {}) == "Moon watched."
    assert taken_back("moon_watched", {}, rows=1) == "Taken back: “Moon watched”."


def test_a_corrected_value_keeps_the_old_one_with_when_and_by_whom(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6", Mark.WAKING, note="tired", tags=("swim",))
    reading = readings_of(diary, person)[0]
    edit = Edit(
        value=typed_value("5,4", person, Unit.MMOL_L, now=NOW),
        mark=Mark.AFTER_LUNCH,
        after_min=90,
        note="picnic",
        tags=("sick",),
        keeper="Odalys",
    )
    edit_reading(diary, person, reading.id, edit, now=LATER)

    found = history_of(diary, person, reading)

    assert {(each.part, each.old, each.new) for each in found} == {
        ("Value", "7.6 mmol/L", "5.4 mmol/L"),
        ("Mark", "waking", "after lunch"),
        ("Minutes after the meal", None, "90 min"),
        ("Keeper", None, "Odalys"),
        ("Note", "tired", "picnic"),
        ("Tag", "swim", None),
        ("Tag", None, "sick"),
    }
    assert {(f"{each.at:%Y-%m-%d %H:%M}", each.by) for each in found} == {
        ("2026-03-13 09:30", "on this computer")
    }
    value = next(each for each in found if each.part == "Value")
    assert value.sentence == (
        "Value: 7.6 mmol/L, from 13 Mar 2026 09:30 on 5.4 mmol/L (on this computer)."
    )


def test_every_step_of_a_value_is_told_in_order(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6")
    reading = readings_of(diary, person)[0]
    for value in ("5.4", "HI"):
        entry = typed_value(value, person, Unit.MMOL_L, now=NOW, sure=True)
        edit_reading(diary, person, reading.id, Edit(value=entry), now=NOW)
    undo_last(diary, person, now=NOW)
    set_aside(diary, person, [reading.id], "wet strip", now=NOW)
    put_in_bin(diary, person, [reading.id], now=NOW)

    steps = [(each.part, each.old, each.new) for each in history_of(diary, person, reading.uid)]

    assert steps == [
        ("Value", "7.6 mmol/L", "5.4 mmol/L"),
        ("Value", "5.4 mmol/L", "HI"),
        ("Value", "HI", "5.4 mmol/L"),
        ("Standing", "counted", "set aside (wet strip)"),
        ("Place", "in the diary", "in the bin"),
    ]


def test_who_was_taken_out_is_still_found_by_name(diary: Diary) -> None:
    tilde(diary)
    adult = corwin(diary)
    undo_last(diary, adult, now=NOW)

    found = person_ever(diary, "corwin")

    assert found is not None
    assert found.uid == adult.uid
    redo_last(diary, found, now=NOW)
    assert whose_history(diary, None) is None
    assert whose_history(diary, "Corwin") == found


def test_an_entrys_words_are_kept_as_they_were(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")

    undo_last(diary, person, now=NOW)

    with diary.reading() as connection:
        words = connection.exec_driver_sql(
            "SELECT words FROM journal_entry WHERE kind = 'undo'"
        ).scalar_one()
    assert json.loads(words) == {"kind": "enter", "reading": "5.6, 2026-03-12 07:05"}
