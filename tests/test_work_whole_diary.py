from __future__ import annotations

import json
import sqlite3
import stat
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.errors import DiaryError, Refused, StoreUnavailable
from app.domain.reading import NewReading
from app.store import compact, schema
from app.store.check import Checked, check_diary, check_file
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.readings import readings_of, write_reading
from app.store.state_hash import state_hash
from app.store.whole import in_order
from app.work.take_back import undo_last
from app.work.whole_diary import (
    bring_whole,
    bring_whole_anew,
    export_lines,
    export_sqlite,
    lines_of,
    read_whole,
    whole_summary,
)
from tests.households import INSTALLATION, NOW, corwin, new_diary, sample_of, tilde, written
from tests.test_work_send_out import new_readings

LATER = NOW + timedelta(days=1)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        person = tilde(made, targets="ispad-2022")
        written(made, person, "2026-03-12 07:05", "7.6", note="=1+1\n🍎 שלום", tags=("swim",))
        written(made, corwin(made), "2026-03-12 08:10", "HI")
        yield made


def brought(folder: Path, data: bytes) -> Diary:
    other = new_diary(folder, "other.thimblebook")
    bring_whole(other, read_whole(data), name="all.jsonl", now=LATER)
    return other


def resealed(data: bytes, *, old: bytes, new: bytes) -> bytes:
    """A file altered by somebody who also puts a trailer under it that agrees."""
    body = data[: data.rfind(b"\n", 0, -1) + 1].replace(old, new)
    assert body not in data
    trailer = {
        "type": "trailer",
        "lines": body.count(b"\n"),
        "sha256": sha256(body).hexdigest(),
    }
    return body + json.dumps(trailer).encode() + b"\n"


@settings(max_examples=25, deadline=None)
@given(st.lists(new_readings(), max_size=5), st.sampled_from(("typed", "file")))
def test_a_whole_diary_comes_back_equal(readings: list[NewReading], origin: str) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with new_diary(folder) as diary:
            person = tilde(diary)
            for new in readings:
                with diary.change("enter", {}, now=NOW, person=person) as change:
                    write_reading(change, person, new, origin=origin)
            data, state = lines_of(diary, now=NOW), state_hash(diary)
            before = {each.uid: (each.moment, each.glucose) for each in readings_of(diary, person)}
        with brought(folder, data) as other:
            person = persons(other)[0]
            after = {each.uid: (each.moment, each.glucose) for each in readings_of(other, person)}

            assert state_hash(other) == state
            assert after == before
            assert check_diary(other).wrong == ()  # what is derived is derived as it was written
            assert lines_of(other, now=NOW) == data


def test_a_household_of_years_comes_back_equal(tmp_path: Path) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, _):
        data, state = lines_of(diary, now=NOW), state_hash(diary)
        held = whole_summary(diary)
    with brought(tmp_path, data) as other:
        assert state_hash(other) == state
        assert check_diary(other).wrong == ()
        assert whole_summary(other) == held
    assert held.rows["reading"] > 1000


def test_rows_know_each_other_by_uid_and_leave_without_what_is_derived(diary: Diary) -> None:
    lines = [json.loads(line) for line in lines_of(diary, now=NOW).splitlines()]

    said = {each["type"]: each for each in lines}
    reading = said["reading"]
    uids = {each["uid"] for each in lines if each["type"] == "person"}
    assert reading["person_id"] in uids
    assert reading["bound"] == "above"
    assert "value" not in reading
    assert not {"id", "born", "rev", "row_hash", "mg_dl", "instant", "day"} & reading.keys()
    assert not any(each["type"].startswith("journal") for each in lines)
    assert lines[0]["rows"]["reading"] == 2
    assert (said["note"]["text"], said["tag"]["label"]) == ("=1+1\n🍎 שלום", "swim")


def test_each_table_comes_after_those_that_it_refers_to() -> None:
    names = [table.name for table in in_order()]

    assert sorted(names) == sorted(table.name for table in schema.USER_TABLES)
    for first, then in (("person", "reading"), ("meter", "import_batch"), ("event", "reading")):
        assert names.index(first) < names.index(then)


def test_what_lies_in_the_bin_comes_along_only_where_a_live_row_refers_to_it(
    diary: Diary, tmp_path: Path
) -> None:
    with diary.change("meters", {}, now=NOW) as change:
        meters = [
            change.add(schema.meter, name=name, unit="mmol/L", zone="UTC")
            for name in ("one", "two")
        ]
        change.edit(schema.reading, 1, meter_id=meters[0])
        for meter in meters:
            change.delete(schema.meter, meter)
    state, data = state_hash(diary), lines_of(diary, now=NOW)

    with brought(tmp_path, data) as other, other.reading() as connection:
        found = connection.execute(schema.meter.select()).mappings().all()
        assert [(row["name"], row["deleted_at"] is None) for row in found] == [("one", False)]
        assert state_hash(other) == state


def test_a_note_for_one_copy_alone_stays_with_that_copy(diary: Diary, tmp_path: Path) -> None:
    with diary.change("private", {}, now=NOW) as change:
        copy = {"uid": b"\x07" * 16, "label": "the other computer"}
        made = change.connection.execute(schema.copy.insert().values(**copy)).lastrowid
        change.edit(schema.note, 1, private_copy=made)
    state, data = state_hash(diary), lines_of(diary, now=NOW)

    with brought(tmp_path, data) as other:
        assert state_hash(other) == state
        assert check_diary(other).wrong == ()


def test_bringing_a_whole_diary_in_is_one_change_that_can_be_taken_back(
    diary: Diary, tmp_path: Path
) -> None:
    with brought(tmp_path, lines_of(diary, now=NOW)) as other:
        undo_last(other, None, now=LATER)

        assert whole_summary(other).rows == {}
        assert persons(other) == []


def test_a_diary_that_is_not_empty_is_left_as_it_is(diary: Diary) -> None:
    before, lines = state_hash(diary), read_whole(lines_of(diary, now=NOW))

    with pytest.raises(Refused, match="is not empty"):
        bring_whole(diary, lines, name="all.jsonl", now=LATER)

    assert state_hash(diary) == before


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        (b'"value":"7.6"', b'"value":"7.9"', "not what was exported"),
        (b'"value":"7.6"', b'"value":7.6', "does not fit the field value"),
        (b'"value":"7.6"', b'"value":"many"', "no possible time or value"),
        (b'"value":"7.6"', b'"mood":"7.6"', '"mood" is no field of reading'),
        (b'"hands":"unknown"', b'"hands":true', "does not fit the field hands"),
        (b'"day_start":0', b'"day_start":0.5', "does not fit the field day_start"),
        (b'"day_start":0', b'"day_start":true', "does not fit the field day_start"),
        (b'"day_start":0', b'"day_start":9223372036854775808', "does not fit the field"),
        (b'"day_start":0', b'"day_start":7', "refused this"),
        (b'"name":"Tilde"', b'"name":null', "the field name of person is missing"),
        (b'"wall":"2026-03-12T07:05"', b'"wall":"yesterday"', "no possible time"),
        (b'"wall":"2026-03-12T07:05"', b'"wall":"2926-03-12T07:05"', "lies outside"),
        (b'"wall":"2026-03-12T07:05",', b'"wall":"2026-03-12T07:05+01:00",', "no possible time"),
        (b'"offset_min":0', b'"offset_min":1e3', "does not fit the field offset_min"),
    ],
)
def test_a_row_that_can_not_be_is_refused_and_nothing_is_kept(
    diary: Diary, tmp_path: Path, old: bytes, new: bytes, why: str
) -> None:
    data = resealed(lines_of(diary, now=NOW), old=old, new=new)

    with new_diary(tmp_path, "other.thimblebook") as other:
        with pytest.raises(DiaryError, match=why):
            bring_whole(other, read_whole(data), name="all.jsonl", now=LATER)
        assert whole_summary(other).rows == {}
        assert check_diary(other).changes == 0


def _uids(data: bytes, kind: str) -> list[bytes]:
    lines = [json.loads(line) for line in data.splitlines()]
    return [each["uid"].encode() for each in lines if each["type"] == kind]


def test_a_uid_twice_or_a_reference_to_nothing_is_refused(diary: Diary, tmp_path: Path) -> None:
    data = lines_of(diary, now=NOW)
    one, two = _uids(data, "reading")
    person = _uids(data, "person")[0]
    spoiled: list[tuple[bytes, bytes, str]] = [
        (b'"uid":"' + two, b'"uid":"' + one, "is there twice"),
        (b'"uid":"' + two, b'"uid":"x' + two[1:], "no uid of 32 hexadecimal digits"),
        (b'"person_id":"' + person, b'"person_id":"' + b"0" * 32, "did not come before"),
        (b'{"type":"reading"', b'{"type":"letter"', "other rows than|no table of a diary"),
    ]
    for at, (old, new, why) in enumerate(spoiled):
        with new_diary(tmp_path, f"{at}.thimblebook") as other:
            lines = read_whole(resealed(data, old=old, new=new))
            with pytest.raises(Refused, match=why):
                bring_whole(other, lines, name="all.jsonl", now=LATER)


def test_a_new_diary_is_made_whole_or_not_at_all(diary: Diary, tmp_path: Path) -> None:
    data, anew = lines_of(diary, now=NOW), tmp_path / "new" / "anew.thimblebook"
    broken = read_whole(resealed(data, old=b'"value":"7.6"', new=b'"value":"7.9"'))

    with pytest.raises(Refused, match="not what was exported"):
        bring_whole_anew(anew, INSTALLATION, broken, name="x", now=LATER)
    assert list(anew.parent.iterdir()) == []

    bring_whole_anew(anew, INSTALLATION, read_whole(data), name="x", now=LATER)
    assert stat.S_IMODE(anew.stat().st_mode) == 0o600
    assert [each.name for each in anew.parent.iterdir()] == [anew.name]
    with open_diary(anew, INSTALLATION) as other:
        assert state_hash(other) == state_hash(diary)


@pytest.mark.parametrize("form", ["jsonl", "sqlite"])
def test_the_file_is_for_its_owner_alone_and_nothing_is_left_beside_it(
    diary: Diary, tmp_path: Path, form: str
) -> None:
    out = tmp_path / "out" / f"all.{form}"
    out.parent.mkdir()

    def sent(*, replace: bool = False) -> Any:
        if form == "sqlite":
            return export_sqlite(diary, out, replace=replace)
        return export_lines(diary, out, now=NOW, replace=replace)

    assert sent().persons == ("Tilde", "Corwin")
    first = out.read_bytes()
    with pytest.raises(Refused, match="Say --replace"):
        sent()
    assert out.read_bytes() == first
    sent(replace=True)
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert [each.name for each in out.parent.iterdir()] == [out.name]


def test_the_sqlite_file_is_the_diary_with_its_journal_and_passes_the_full_check(
    diary: Diary, tmp_path: Path
) -> None:
    out = tmp_path / "all.sqlite"

    export_sqlite(diary, out)

    assert check_file(out) == check_diary(diary)
    with open_diary(out, INSTALLATION) as other:
        assert state_hash(other) == state_hash(diary)


def test_what_was_freed_in_the_diary_does_not_leave_with_the_sqlite_file(
    diary: Diary, tmp_path: Path
) -> None:
    marker, out = b"Quillonquillon" * 400, tmp_path / "all.sqlite"
    with closing(sqlite3.connect(diary.path)) as raw:
        raw.execute("CREATE TABLE passing (x)")
        raw.execute("INSERT INTO passing VALUES (?)", (marker,))
        raw.commit()
        raw.execute("PRAGMA secure_delete = OFF")
        raw.execute("DROP TABLE passing")
        raw.commit()

    export_sqlite(diary, out)

    assert b"Quillonquillon" in diary.path.read_bytes()
    assert b"Quillonquillon" not in out.read_bytes()


def test_a_copy_that_fails_the_check_is_not_left(
    diary: Diary, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = Checked(2, 2, 5, damage=("the file is damaged: a page",))
    monkeypatch.setattr(compact, "check_file", lambda *_, **__: found)
    out = tmp_path / "out"
    out.mkdir()

    with pytest.raises(StoreUnavailable, match="did not pass the full check"):
        export_sqlite(diary, out / "all.sqlite")

    assert list(out.iterdir()) == []


def test_a_damaged_diary_does_not_leave_as_a_whole(diary: Diary, tmp_path: Path) -> None:
    diary.distrust()

    for send in (
        lambda: export_sqlite(diary, tmp_path / "a"),
        lambda: export_lines(diary, tmp_path / "a", now=NOW),
        lambda: lines_of(diary, now=NOW),
    ):
        with pytest.raises(StoreUnavailable, match="thimblebook salvage"):
            send()
    assert not (tmp_path / "a").exists()
