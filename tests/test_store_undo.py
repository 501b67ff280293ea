from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from uuid import UUID

import pytest
from sqlalchemy import Engine, event

from app.domain.errors import NeedsAnswer, Refused
from app.domain.marks import Mark
from app.domain.person import Person
from app.exchange.table import read_table
from app.store.check import check_diary
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.readings import readings_of
from app.store.state_hash import state_hash
from app.store.tags import tag_labels
from app.work.bring_in import BroughtIn, File, bring_in
from app.work.edit import Edit, edit_reading, put_in_bin, set_aside, set_mark
from app.work.history import history
from app.work.people import add_person
from app.work.take_back import redo_last, undo_entry, undo_last
from tests.households import INSTALLATION, NOW, new_diary, tilde, written

ELSEWHERE = UUID("0b0f7a52-58c4-4b3e-8f0f-6a5d5f1f7c33")
FILE = "Date,Time,Glucose (mmol/L),Notes\n" + "".join(
    f"2026-03-0{day},07:00,{day}.2,{'slept badly' if day == 3 else ''}\n" for day in range(4, 0, -1)
)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def take(diary: Diary, person: Person, text: str = FILE) -> BroughtIn:
    file = File("meter.csv", text.encode(), read_table(text.encode(), None))
    return bring_in(diary, person, file, now=NOW, recipe=None)


def newest(diary: Diary) -> int:
    return history(diary, limit=1)[0].entry


def ids_of(diary: Diary, person: Person) -> list[int]:
    return [each.id for each in readings_of(diary, person)]


def values(diary: Diary, person: Person) -> list[str | None]:
    return [each.glucose.value for each in readings_of(diary, person)]


def test_redo_brings_back_what_undo_took_in_the_other_order(diary: Diary) -> None:
    person = tilde(diary)
    states = [state_hash(diary)]
    for hour in ("07", "12", "18"):
        written(diary, person, f"2026-03-12 {hour}:05", "5.6", note="n", tags=("swim",))
        states.append(state_hash(diary))

    for state in reversed(states[:-1]):
        undo_last(diary, person, now=NOW)
        assert state_hash(diary) == state
    for state in states[1:]:
        done = redo_last(diary, person, now=NOW)
        assert state_hash(diary) == state

    assert done.sentence == "Done again: “The reading 5.6, 2026-03-12 18:05 was saved”."
    with pytest.raises(Refused, match="nothing to do again"):
        redo_last(diary, person, now=NOW)


def test_undo_and_redo_go_on_after_a_restart(diary: Diary, tmp_path: Path) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    before = state_hash(diary)
    path = diary.path
    undo_last(diary, person, now=NOW)
    diary.close()

    with open_diary(path, INSTALLATION) as opened:
        redo_last(opened, person, now=NOW)

        assert state_hash(opened) == before


def test_a_new_change_cuts_off_what_could_be_done_again(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    undo_last(diary, person, now=NOW)
    written(diary, person, "2026-03-12 08:05", "6.6")

    with pytest.raises(Refused, match="something else was changed since"):
        redo_last(diary, person, now=NOW)
    assert values(diary, person) == ["6.6"]


def test_an_import_comes_back_with_redo_and_is_no_amendment(diary: Diary) -> None:
    person = tilde(diary)
    take(diary, person)
    state, before = state_hash(diary), readings_of(diary, person)
    undo_last(diary, person, now=NOW)

    redo_last(diary, person, now=NOW)

    assert state_hash(diary) == state
    assert readings_of(diary, person) == before
    undo_last(diary, person, now=NOW)
    assert readings_of(diary, person) == []
    assert check_diary(diary).wrong == ()


def test_undo_of_an_import_leaves_no_account_of_refused_rows(diary: Diary) -> None:
    person = tilde(diary)
    before = state_hash(diary)
    take(diary, person, f"{FILE}yesterday,07:00,5,\n")

    undo_last(diary, person, now=NOW)

    assert state_hash(diary) == before


def test_an_older_change_is_taken_back_alone(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    set_mark(diary, person, ids_of(diary, person), Mark.WAKING, now=NOW)
    marked = newest(diary)
    set_aside(diary, person, ids_of(diary, person), "wet strip", now=NOW)

    done = undo_entry(diary, marked, now=NOW)

    found = readings_of(diary, person)[0]
    assert (found.mark, found.standing_why) == ("none", "wet strip")
    assert done.sentence == "Taken back: 1 reading has its old mark again."
    redo_last(diary, person, now=NOW)
    assert readings_of(diary, person)[0].mark == "waking"


def test_a_change_that_a_later_one_wrote_over_is_not_taken_back_alone(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    added = newest(diary)
    set_mark(diary, person, ids_of(diary, person), Mark.WAKING, now=NOW)
    first = newest(diary)
    set_mark(diary, person, ids_of(diary, person), Mark.FASTING, now=NOW)
    before = state_hash(diary)

    with pytest.raises(Refused) as refused:
        undo_entry(diary, first, now=NOW)
    with pytest.raises(Refused) as refused_too:
        undo_entry(diary, added, now=NOW)

    assert str(refused.value) == (
        f"Not taken back, because a later change rests on the same: number {newest(diary)} "
        "(12 Mar 2026 21:30, on this computer): 1 reading was marked “fasting”. "
        "Nothing was changed; take that back first."
    )
    assert f"number {first} (" in str(refused_too.value)
    assert state_hash(diary) == before


def test_what_was_taken_back_in_between_stands_in_nobodys_way(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    set_mark(diary, person, ids_of(diary, person), Mark.WAKING, now=NOW)
    first = newest(diary)
    set_mark(diary, person, ids_of(diary, person), Mark.FASTING, now=NOW)
    undo_last(diary, person, now=NOW)

    undo_entry(diary, first, now=NOW)

    assert readings_of(diary, person)[0].mark == "none"


def test_a_note_that_came_later_keeps_its_reading(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    added = newest(diary)
    edit_reading(diary, person, ids_of(diary, person)[0], Edit(note="tired"), now=NOW)

    with pytest.raises(Refused, match="Note of the reading"):
        undo_entry(diary, added, now=NOW)


def test_a_tag_in_use_elsewhere_stays_and_goes_with_its_last_use(diary: Diary) -> None:
    person = tilde(diary)
    before = state_hash(diary)
    written(diary, person, "2026-03-12 07:05", "5.6", tags=("swim",))
    first = newest(diary)
    written(diary, person, "2026-03-12 08:05", "6.6", tags=("swim",))

    undo_entry(diary, first, now=NOW)
    kept = tag_labels(diary, person)
    undo_last(diary, person, now=NOW)

    assert kept == ("swim",)
    assert state_hash(diary) == before


def test_undo_of_an_import_asks_about_rows_that_were_edited_since(diary: Diary) -> None:
    person = tilde(diary)
    take(diary, person)
    entry = newest(diary)
    edit_reading(diary, person, ids_of(diary, person)[0], Edit(note="after the run"), now=NOW)
    set_mark(diary, person, ids_of(diary, person)[:2], Mark.WAKING, now=NOW)
    before = state_hash(diary)

    with pytest.raises(NeedsAnswer) as asked:
        undo_entry(diary, entry, now=NOW)

    (question,) = asked.value.questions
    assert question.answers == ("--edited keep", "--edited take-too")
    assert question.asks.startswith("2 rows of this import were edited since.")
    assert state_hash(diary) == before


def test_edited_rows_of_an_import_can_be_kept(diary: Diary) -> None:
    person = tilde(diary)
    take(diary, person)
    entry = newest(diary)
    set_mark(diary, person, ids_of(diary, person)[:1], Mark.WAKING, now=NOW)
    full = state_hash(diary)

    done = undo_entry(diary, entry, now=NOW, edited="keep")
    kept = values(diary, person)
    redo_last(diary, person, now=NOW)

    assert kept == ["1.2"]
    assert done.sentence == (
        "Taken back: the import of meter.csv; 3 rows are in the bin, 1 edited since is kept."
    )
    assert state_hash(diary) == full


def test_a_row_kept_for_an_edit_goes_when_the_edit_is_taken_back(diary: Diary) -> None:
    person = tilde(diary)
    before = state_hash(diary)
    take(diary, person, f"{FILE}yesterday,07:00,5,\n")
    entry = newest(diary)
    set_mark(diary, person, ids_of(diary, person)[:1], Mark.WAKING, now=NOW)
    undo_entry(diary, entry, now=NOW, edited="keep")
    kept = state_hash(diary)

    done = undo_last(diary, person, now=NOW)

    assert done.sentence == (
        "Taken back: 1 reading has its old mark again. "
        "1 of an import taken back before is in the bin too."
    )
    assert state_hash(diary) == before
    redo_last(diary, person, now=NOW)
    assert state_hash(diary) == kept


def test_edited_rows_of_an_import_can_go_too(diary: Diary) -> None:
    person = tilde(diary)
    before = state_hash(diary)
    take(diary, person)
    entry = newest(diary)
    edit_reading(diary, person, ids_of(diary, person)[0], Edit(note="after the run"), now=NOW)
    edited = state_hash(diary)

    done = undo_entry(diary, entry, now=NOW, edited="take-too")
    gone = state_hash(diary)
    redo_last(diary, person, now=NOW)

    assert done.rows == 4
    assert gone == before
    assert state_hash(diary) == edited


def test_rows_put_into_the_bin_by_hand_are_not_asked_about(diary: Diary) -> None:
    person = tilde(diary)
    take(diary, person)
    entry = newest(diary)
    put_in_bin(diary, person, ids_of(diary, person)[:1], now=NOW)

    undo_entry(diary, entry, now=NOW)

    assert values(diary, person) == []


def test_a_file_brought_in_again_gives_edited_rows_of_the_bin_back_as_it_has_them(
    diary: Diary,
) -> None:
    person = tilde(diary)
    before = state_hash(diary)
    take(diary, person)
    entry = newest(diary)
    set_mark(diary, person, ids_of(diary, person)[:1], Mark.WAKING, now=NOW)
    undo_entry(diary, entry, now=NOW, edited="take-too")
    take(diary, person)
    again = readings_of(diary, person)

    undone = [undo_last(diary, person, now=NOW).kind for _ in range(2)]

    assert [each.mark for each in again] == ["none"] * 4
    assert undone == ["import", "set_mark"]
    assert state_hash(diary) == before


def test_a_person_with_changes_from_another_computer_is_not_taken_back(diary: Diary) -> None:
    person = tilde(diary)
    path = diary.path
    diary.close()
    with open_diary(path, ELSEWHERE) as there:
        written(there, person, "2026-03-12 07:05", "5.6")
    with open_diary(path, INSTALLATION) as here:
        before = state_hash(here)

        with pytest.raises(Refused) as refused:
            undo_last(here, person, now=NOW)

        assert "The reading 5.6, 2026-03-12 07:05 was saved" in str(refused.value)
        assert "on another computer" in str(refused.value)
        assert state_hash(here) == before
        assert [each.name for each in persons(here)] == ["Tilde"]


def test_a_change_of_another_computer_is_not_taken_back_here(diary: Diary) -> None:
    person = tilde(diary)
    path = diary.path
    diary.close()
    with open_diary(path, ELSEWHERE) as there:
        written(there, person, "2026-03-12 07:05", "5.6")
    with open_diary(path, INSTALLATION) as here:
        with pytest.raises(Refused, match="made on another computer"):
            undo_entry(here, newest(here), now=NOW)

        assert values(here, person) == ["5.6"]


def test_a_redo_does_not_write_over_another_computers_change(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    set_mark(diary, person, ids_of(diary, person), Mark.WAKING, now=NOW)
    undo_last(diary, person, now=NOW)
    path = diary.path
    diary.close()
    with open_diary(path, ELSEWHERE) as there:
        set_mark(there, person, ids_of(there, person), Mark.NIGHT, now=NOW)
    with open_diary(path, INSTALLATION) as here:
        with pytest.raises(Refused, match=r"^Not done again.*marked “night”"):
            redo_last(here, person, now=NOW)

        assert readings_of(here, person)[0].mark == "night"


def test_a_person_does_not_come_back_while_another_has_the_name(diary: Diary) -> None:
    person = tilde(diary)
    undo_last(diary, person, now=NOW)
    path = diary.path
    diary.close()
    with open_diary(path, ELSEWHERE) as there:
        add_person(there, "TILDE", unit="mg/dL", zone="America/Chicago", now=NOW)
    with open_diary(path, INSTALLATION) as here, pytest.raises(Refused, match="another person"):
        redo_last(here, person, now=NOW)


def test_a_change_is_taken_back_once(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    entry = newest(diary)
    undo_entry(diary, entry, now=NOW)

    for number, why in (
        (entry, "taken back already"),
        (newest(diary), "itself a taking back"),
        (99, "no change number 99"),
    ):
        with pytest.raises(Refused, match=why):
            undo_entry(diary, number, now=NOW)


def test_a_bulk_change_is_taken_back_in_a_few_statements(diary: Diary) -> None:
    person = tilde(diary)
    rows = "".join(f"2026-01-{n % 28 + 1:02},{n // 28:02}:{n % 60:02},6.1,\n" for n in range(600))
    take(diary, person, f"Date,Time,Glucose (mmol/L),Notes\n{rows}")
    before = state_hash(diary)
    set_mark(diary, person, ids_of(diary, person), Mark.NIGHT, now=NOW)
    said: list[str] = []

    def listen(*what: object) -> None:
        said.append(str(what[2]))

    event.listen(Engine, "before_cursor_execute", listen)
    try:
        done = undo_last(diary, person, now=NOW)
    finally:
        event.remove(Engine, "before_cursor_execute", listen)

    assert done.rows == 600
    assert len(said) < 100
    assert state_hash(diary) == before


def test_every_step_is_a_change_with_a_time_of_its_own(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    undo_last(diary, person, now=NOW + timedelta(minutes=1))
    redo_last(diary, person, now=NOW + timedelta(minutes=2))

    lines = history(diary, person)

    assert [(line.kind, line.state, f"{line.at:%H:%M}") for line in lines] == [
        ("redo", "takes back", "21:32"),
        ("undo", "takes back", "21:31"),
        ("enter", "stands", "21:30"),
        ("person_add", "stands", "21:30"),
    ]
