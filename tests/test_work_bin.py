from __future__ import annotations

import io
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import select

from app.domain.errors import NeedsAnswer, Refused, StoreUnavailable
from app.domain.glucose import Unit
from app.domain.person import Person
from app.exchange.table import read_table
from app.store import schema
from app.store.backup_facts import list_backups
from app.store.check import check_diary
from app.store.diary import Diary
from app.store.emptying import neutral
from app.store.people import persons
from app.store.readings import readings_of
from app.store.state_hash import state_hash
from app.store.tags import tag_labels
from app.work.backup import why_words
from app.work.bin import empty_bin, in_bin, remove_person, restore_from_bin
from app.work.bring_in import BroughtIn, File, bring_in
from app.work.edit import Edit, edit_reading, put_in_bin, set_aside
from app.work.history import history
from app.work.people import set_targets
from app.work.retype import typed_value
from app.work.send_out import write_csv
from app.work.take_back import redo_last, undo_last
from tests.households import NOW, corwin, new_diary, tilde, written

FILE = "Date,Time,Glucose (mmol/L),Notes\n2026-03-01,07:00,6.2,zephyrine\n2026-03-02,07:00,7.9,\n"
LATER = NOW + timedelta(days=90)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def take(diary: Diary, person: Person, text: str = FILE) -> BroughtIn:
    file = File("meter.csv", text.encode(), read_table(text.encode(), None))
    return bring_in(diary, person, file, now=NOW, recipe=None)


def ids_of(diary: Diary, person: Person) -> list[int]:
    return [each.id for each in readings_of(diary, person)]


def binned(diary: Diary, person: Person, *values: str) -> list[str]:
    """Readings with a note and a tag in the bin; returns their codes."""
    for hour, value in enumerate(values, start=7):
        written(diary, person, f"2026-03-12 {hour:02}:05", value, note="shaky", tags=("swim",))
    put_in_bin(diary, person, ids_of(diary, person), now=NOW)
    return [item.code for item in in_bin(diary, now=NOW).items]


def test_the_bin_says_what_was_put_there_when_and_by_whom(diary: Diary) -> None:
    person = tilde(diary)
    binned(diary, person, "5.6")

    found = in_bin(diary, now=NOW)

    (item,) = found.items
    assert (item.what, item.along) == ("the reading 5.6 mmol/L, 2026-03-12 07:05", "1 note, 1 tag")
    assert (item.when, item.by, item.person) == ("12 Mar 2026 21:30", "on this computer", "Tilde")
    assert item.how == "1 reading was put into the bin."
    assert found.sentence == "1 thing is in the bin; each can be restored until it is emptied."


def test_what_was_restored_is_as_it_was_and_that_can_be_undone(diary: Diary) -> None:
    person = tilde(diary)
    for hour, value in enumerate(("5.6", "6.6"), start=7):
        written(diary, person, f"2026-03-12 {hour:02}:05", value, note="shaky", tags=("swim",))
    before = state_hash(diary)
    put_in_bin(diary, person, ids_of(diary, person), now=NOW)
    away = state_hash(diary)
    codes = [item.code for item in in_bin(diary, now=NOW).items]

    done = restore_from_bin(diary, codes, now=NOW)

    assert done.sentence == "2 records were taken out of the bin."
    assert state_hash(diary) == before
    undo_last(diary, person, now=NOW)
    assert state_hash(diary) == away


def test_one_of_many_is_restored_alone(diary: Diary) -> None:
    person = tilde(diary)
    codes = binned(diary, person, "5.6", "6.6", "7.6")

    done = restore_from_bin(diary, codes[1:2], now=NOW)

    assert done.sentence == ("The reading 6.6 mmol/L, 2026-03-12 08:05 was taken out of the bin.")
    assert [(each.glucose.value, each.note, each.tags) for each in readings_of(diary, person)] == [
        ("6.6", "shaky", ("swim",))
    ]


def test_a_restored_reading_brings_the_tag_that_it_names(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6", tags=("swim",))
    undo_last(diary, person, now=NOW)
    gone = tag_labels(diary, person)

    restore_from_bin(diary, [in_bin(diary, now=NOW).items[0].code], now=NOW)

    assert (gone, tag_labels(diary, person)) == ((), ("swim",))
    assert check_diary(diary).wrong == ()


def test_a_restored_reading_takes_the_tag_that_was_written_anew(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6", tags=("swim",))
    undo_last(diary, person, now=NOW)
    code = in_bin(diary, now=NOW).items[0].code
    written(diary, person, "2026-03-12 09:05", "8.6", tags=("swim",))
    before = state_hash(diary)

    restore_from_bin(diary, [code], now=NOW)

    assert [each.tags for each in readings_of(diary, person)] == [("swim",), ("swim",)]
    assert tag_labels(diary, person) == ("swim",)
    undo_last(diary, person, now=NOW)
    assert state_hash(diary) == before


def test_what_is_not_in_the_bin_is_not_restored(diary: Diary) -> None:
    person = tilde(diary)
    codes = binned(diary, person, "5.6")
    restore_from_bin(diary, codes, now=NOW)

    for wrong in (codes, ["reading/77"], ["elsewhere"], []):
        with pytest.raises(Refused, match="Nothing was changed"):
            restore_from_bin(diary, wrong, now=NOW)


def test_after_ninety_days_things_are_offered_and_nothing_goes_unasked(diary: Diary) -> None:
    person = tilde(diary)
    codes = binned(diary, person, "5.6", "6.6")

    day_before = in_bin(diary, now=LATER - timedelta(seconds=1))
    found = in_bin(diary, now=LATER)

    assert (day_before.old, found.old) == (0, 2)
    assert found.sentence.endswith(" 2 have been there for 90 days or more.")
    with pytest.raises(Refused, match="Nothing has been in the bin for 90 days"):
        empty_bin(diary, now=LATER - timedelta(days=1), old_only=True, sure=True)
    restore_from_bin(diary, codes, now=LATER)
    assert len(readings_of(diary, person)) == 2


def test_emptying_asks_and_makes_a_backup_first(diary: Diary) -> None:
    person = tilde(diary)
    binned(diary, person, "5.6")
    journal = len(history(diary))

    with pytest.raises(NeedsAnswer) as asked:
        empty_bin(diary, now=NOW)

    (question,) = asked.value.questions
    assert question.answers == ("--sure",)
    assert "1 reading and 2 other records" in question.asks
    assert "Backups made before still hold it" in question.asks
    assert (len(history(diary)), list_backups(diary.path)) == (journal, ())
    done = empty_bin(diary, now=NOW, sure=True)
    (backup,) = list_backups(diary.path)
    assert backup.why == "before_emptying"
    assert done.sentence.startswith("The bin was emptied: 3 rows are gone for good. Backups ")
    assert in_bin(diary, now=NOW).sentence == "The bin is empty."
    with pytest.raises(Refused, match="The bin is empty"):
        empty_bin(diary, now=NOW, sure=True)


def test_without_a_backup_nothing_is_emptied(diary: Diary, monkeypatch: pytest.MonkeyPatch) -> None:
    person = tilde(diary)
    codes = binned(diary, person, "5.6")

    def no_room(*_: object, **__: object) -> None:
        raise Refused("no room for a backup")

    monkeypatch.setattr("app.work.bin.backup_first", no_room)
    with pytest.raises(Refused, match="no room"):
        empty_bin(diary, now=NOW, sure=True)

    assert [item.code for item in in_bin(diary, now=NOW).items] == codes


def test_emptied_text_is_gone_from_the_file_and_the_rest_is_not(
    diary: Diary, tmp_path: Path
) -> None:
    person = tilde(diary)
    at = iter(range(7, 20))
    secret, kept = [b"zephyrine-secret", b"66.6", b"quixotic-strip"], b"zephyrine-kept"
    for value, note, tag in (
        ("66.6", "zephyrine-secret", "quixotic-tag"),
        ("7.7", "zephyrine-kept", "run"),
    ):
        written(diary, person, f"2026-03-12 {next(at):02}:05", value, note=note, tags=(tag,))
    row = next(each for each in readings_of(diary, person) if each.glucose.value == "66.6").id
    set_aside(diary, person, [row], "quixotic-strip", now=NOW)
    edit_reading(diary, person, row, Edit(note="zephyrine-secret again"), now=NOW)
    undo_last(diary, person, now=NOW)
    for _ in range(300):  # enough rows that pages of the file are split and filled anew
        written(diary, person, "2026-03-12 20:05", "5.5", note="zephyrine-kept " * 20)
    put_in_bin(diary, person, [row], now=NOW)
    there = diary.path.read_bytes()

    empty_bin(diary, now=NOW, sure=True)

    after = diary.path.read_bytes()
    assert all(text in there for text in secret)
    assert [text for text in secret if text in after] == []
    assert kept in after
    assert check_diary(diary).wrong == ()
    assert b"zephyrine-secret" in list_backups(diary.path)[0].path.read_bytes()


def test_what_was_emptied_keeps_its_id_key_and_place_alone(diary: Diary) -> None:
    person = tilde(diary)
    take(diary, person)
    with diary.reading() as connection:
        columns = (schema.reading.c.id, schema.reading.c.uid, schema.reading.c.source_key)
        before = connection.execute(select(*columns, schema.reading.c.born)).all()
    put_in_bin(diary, person, ids_of(diary, person), now=NOW)

    empty_bin(diary, now=NOW, sure=True)

    with diary.reading() as connection:
        rows = connection.execute(select(schema.reading)).mappings().all()
        lines = connection.execute(
            select(schema.journal_change).where(schema.journal_change.c.tbl == "reading")
        ).mappings()
        assert [(line["old"], line["new"]) for line in lines] == [(None, None)] * 2
    assert [(row["id"], row["uid"], row["source_key"], row["born"]) for row in rows] == before
    for row in rows:
        assert (row["bound"], row["value"], row["mg_dl"], row["wall"]) == (
            "no_value", None, None, None,
        )  # fmt: skip
        assert (row["raw_wall"], row["raw_value"], row["meter_id"], row["entered_at"]) == (
            None, None, None, 0,
        )  # fmt: skip
        assert row["deleted_at"] is not None


def test_a_file_does_not_bring_back_what_was_emptied(diary: Diary) -> None:
    person = tilde(diary)
    take(diary, person)
    undo_last(diary, person, now=NOW)  # from the bin the same file would bring these back
    empty_bin(diary, now=NOW, sure=True)

    found = take(diary, person)

    assert (found.account.new, found.account.already) == (0, 2)
    assert readings_of(diary, person) == []


def test_an_export_of_our_own_does_not_bring_it_back_either(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.2", note="zephyrine")
    text = io.StringIO(newline="")
    write_csv(diary, person, text)
    put_in_bin(diary, person, ids_of(diary, person), now=NOW)
    empty_bin(diary, now=NOW, sure=True)

    found = take(diary, person, text.getvalue())

    assert (found.account.new, found.account.already, found.account.held) == (0, 1, 0)
    assert readings_of(diary, person) == []


def test_what_was_emptied_is_past_undo_and_the_changes_before_are_not(diary: Diary) -> None:
    person = tilde(diary)
    set_targets(diary, person, "ispad-2022", from_day=None, now=NOW)
    binned(diary, person, "5.6", "6.6")
    empty_bin(diary, now=NOW, sure=True)

    line = next(each for each in history(diary) if each.kind == "enter")
    undone = undo_last(diary, person, now=NOW)

    assert (line.sentence, line.undoable, line.emptied) == ("A reading was saved.", False, True)
    assert undone.kind == "targets_set"
    assert readings_of(diary, person) == []


def test_what_was_not_emptied_of_a_change_can_still_be_taken_back(diary: Diary) -> None:
    person = tilde(diary)
    for hour in (7, 8):
        written(diary, person, f"2026-03-12 {hour:02}:05", "5.6")
    first, second = ids_of(diary, person)
    set_aside(diary, person, [first, second], "wet strip", now=NOW)
    put_in_bin(diary, person, [first], now=NOW)
    empty_bin(diary, now=NOW, sure=True)

    undo_last(diary, person, now=NOW)

    (left,) = readings_of(diary, person)
    assert (left.id, left.standing) == (second, "counted")
    assert check_diary(diary).wrong == ()


def test_every_table_takes_its_neutral_values(diary: Diary) -> None:
    """Values as every table would have them in an emptied row pass the checks of the file."""
    person = tilde(diary)
    binned(diary, person, "5.6")
    with closing(sqlite3.connect(diary.path)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        for table in schema.USER_TABLES:
            fields = dict(neutral(table))
            for column in table.c:  # what emptying leaves as it was: something that fits
                if column.name in fields or column.name == "id":
                    continue
                fields[column.name] = _kept(table.name, column.name)
            places = ", ".join("?" * len(fields))
            connection.execute(
                f"INSERT INTO {table.name} ({', '.join(fields)}) VALUES ({places})",
                tuple(fields.values()),
            )


def _kept(table: str, column: str) -> object:
    held = {"uid": b"0123456789abcdef", "source_key": None, "row_hash": None, "tbl": "reading"}
    if column == "unit":
        return "%" if table == "lab_result" else "mmol/L"
    if column == "kind":
        return "a1c" if table == "lab_result" else "glucose"
    return held.get(column, b"0123456789abcdef" if column == "row_uid" else 1)


def test_removing_a_person_asks_for_the_name(diary: Diary) -> None:
    person = tilde(diary)
    before = state_hash(diary)

    with pytest.raises(NeedsAnswer) as asked:
        remove_person(diary, person, name_again=None, now=NOW)
    with pytest.raises(Refused, match='"Corwin", not "Tilde"'):
        remove_person(diary, person, name_again="Corwin", now=NOW)

    assert asked.value.questions[0].answers == ('--name-again "Tilde"',)
    assert state_hash(diary) == before


def test_a_removed_person_takes_everything_along_and_nothing_of_others(diary: Diary) -> None:
    other = corwin(diary)
    written(diary, other, "2026-03-12 07:05", "112", note="theirs", tags=("swim",))
    alone = state_hash(diary)
    person = tilde(diary, targets="ispad-2022")
    written(diary, person, "2026-03-12 07:05", "5.6", note="mine", tags=("swim",))
    take(diary, person, f"{FILE}yesterday,07:00,5,\n")
    both = state_hash(diary)

    done = remove_person(diary, person, name_again="tilde", now=NOW)

    assert done.sentence == (
        "Tilde was put into the bin, with 3 readings. "
        "Undo brings all of it back, as does the bin until it is emptied."
    )
    assert state_hash(diary) == alone
    assert [each.name for each in persons(diary)] == ["Corwin"]
    undo_last(diary, person, now=NOW)
    assert state_hash(diary) == both
    redo_last(diary, person, now=NOW)
    (item,) = in_bin(diary, person, now=NOW).items
    assert (item.what, item.along and item.along.split(",")[0]) == ("Tilde", "2 notes")
    restore_from_bin(diary, [item.code], now=NOW)
    assert state_hash(diary) == both
    assert check_diary(diary).wrong == ()


def test_a_checked_backup_is_made_before_a_person_is_removed(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    with pytest.raises(NeedsAnswer, match="A backup is made first"):
        remove_person(diary, person, name_again=None, now=NOW)
    assert list_backups(diary.path) == ()

    remove_person(diary, person, name_again="Tilde", now=NOW)

    (made,) = list_backups(diary.path)
    assert (made.why, made.readings, made.verified_at is None) == ("before_removing", 1, False)
    assert why_words(made.why) == "before a person was removed"


def test_nobody_is_removed_where_no_backup_can_be_made(diary: Diary) -> None:
    person = tilde(diary)
    before = state_hash(diary)
    (diary.path.parent / "backups").write_text("a file where the folder should be")

    with pytest.raises(StoreUnavailable):
        remove_person(diary, person, name_again="Tilde", now=NOW)

    assert state_hash(diary) == before


def test_days_left_are_counted_down_and_never_below_nothing(diary: Diary) -> None:
    binned(diary, tilde(diary), "5.6")
    left = {
        days: in_bin(diary, now=NOW + timedelta(days=days, hours=1)).items[0]
        for days in (-2, 0, 89, 90, 200)
    }

    assert {days: item.days_left for days, item in left.items()} == {
        -2: 90,
        0: 90,
        89: 1,
        90: 0,
        200: 0,
    }
    assert all(item.is_old == (item.days_left == 0) for item in left.values())


def test_a_reading_of_a_removed_person_comes_back_after_the_person(diary: Diary) -> None:
    person = tilde(diary)
    (code,) = binned(diary, person, "5.6")
    remove_person(diary, person, name_again="Tilde", now=NOW)

    with pytest.raises(Refused, match="It belongs to Tilde, which is in the bin too"):
        restore_from_bin(diary, [code], now=NOW)

    both = [item.code for item in in_bin(diary, now=NOW).items]
    restore_from_bin(diary, both, now=NOW)
    assert [each.glucose.value for each in readings_of(diary, person)] == ["5.6"]


def test_a_name_that_is_taken_keeps_the_other_person_in_the_bin(diary: Diary) -> None:
    person = tilde(diary)
    remove_person(diary, person, name_again="Tilde", now=NOW)
    (item,) = in_bin(diary, now=NOW).items
    tilde(diary)

    with pytest.raises(Refused, match='another person named "Tilde"'):
        restore_from_bin(diary, [item.code], now=NOW)

    assert [each.name for each in persons(diary)] == ["Tilde"]


def test_nothing_of_an_emptied_person_is_left_in_the_file(diary: Diary) -> None:
    other = corwin(diary)
    written(diary, other, "2026-03-12 07:05", "112", note="theirs")
    person = tilde(diary)
    value = typed_value("6.6", person, Unit.MMOL_L, now=NOW)
    written(diary, person, "2026-03-12 07:05", "5.6", note="zephyrine")
    edit_reading(diary, person, ids_of(diary, person)[0], Edit(value=value), now=NOW)
    take(diary, person)
    remove_person(diary, person, name_again="Tilde", now=NOW)

    empty_bin(diary, person, now=NOW, sure=True)

    after = diary.path.read_bytes()
    assert [
        text for text in (b"Tilde", b"zephyrine", b"meter.csv", b"Lisbon") if text in after
    ] == []
    assert b"theirs" in after
    assert [each.note for each in readings_of(diary, other)] == ["theirs"]
    assert {line.sentence for line in history(diary) if line.person != "Corwin"} == {
        "A person was added.",
        "A reading was saved.",
        "Something of the reading was changed.",
        "A file was brought in: 2 new rows.",
        "A person was put into the bin, with 3 readings.",
        "The bin was emptied: 7 rows are gone for good.",
    }
    assert check_diary(diary).wrong == ()


def test_emptying_for_one_person_leaves_the_bin_of_others(diary: Diary) -> None:
    child, adult = tilde(diary), corwin(diary)
    written(diary, child, "2026-03-12 07:05", "5.6")
    written(diary, adult, "2026-03-12 07:05", "112")
    put_in_bin(diary, child, ids_of(diary, child), now=NOW)
    put_in_bin(diary, adult, ids_of(diary, adult), now=NOW)

    empty_bin(diary, child, now=NOW, sure=True)

    assert [item.person for item in in_bin(diary, now=NOW).items] == ["Corwin"]
