from __future__ import annotations

import csv
import io
import stat
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.clock import Moment, Period, moment_at, offsets_of
from app.domain.errors import Refused, StoreUnavailable
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.reading import NewReading, Reading, Stamp, Standing
from app.exchange.table import read_table
from app.store import schema
from app.store.diary import Diary
from app.store.people import persons
from app.store.readings import readings_of, write_reading
from app.work.bring_in import File, bring_in
from app.work.people import add_person
from app.work.send_out import export_csv, write_csv
from tests.households import NOW, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def brought_in(diary: Diary, person: Person, data: bytes, *, now: datetime = NOW) -> None:
    file = File("export.csv", data, read_table(data, None, unit_hint=person.unit))
    bring_in(diary, person, file, now=now, recipe=None)


def exported(diary: Diary, person: Person, period: Period | None = None) -> str:
    text = io.StringIO(newline="")
    write_csv(diary, person, text, period=period)
    return text.getvalue()


def everything(reading: Reading) -> Reading:
    """A reading without its place in the file, which is the file's own business."""
    return replace(reading, id=0)


# What a person or a file may say: any letters, quotes, commas, line ends, formulas; no NUL, which
# neither a command line nor a text file can hold.
words = st.text(
    st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=1, max_size=12
) | st.sampled_from(["=1+1", "-2", "@x", "+", "'", "''", '"', "a;b", "\\", "a\\;b", "\n", "\r\n",
                     " x ", "x,y", "\t", "\u2028", "\ufeff", "=cmd|' /C calc'!A0", "🍎👩‍👧",
                     "שלום", "\u202eabc\u202c", "line\nline"])  # fmt: skip
results = st.builds(
    Glucose,
    st.one_of(
        st.decimals("1.1", "33.3", places=1).map(str),
        st.sampled_from(("5.60", "20", "7.0", "166")),
    ),
    st.sampled_from(Unit),
    st.sampled_from((Bound.EXACT, Bound.BELOW, Bound.ABOVE)),
) | st.builds(
    Glucose,
    st.none(),
    st.sampled_from(Unit),
    st.sampled_from((Bound.BELOW, Bound.ABOVE, Bound.NO_VALUE)),
)
ZONES = ("Europe/Lisbon", "America/Chicago", "Australia/Lord_Howe", "Asia/Kathmandu")


@st.composite
def moments(draw: st.DrawFn) -> Moment | None:
    """Any lived moment, often in an hour that came twice, or one written in a skipped hour."""
    kind = draw(st.integers(0, 5))
    zone = draw(st.sampled_from(ZONES))
    if kind == 0:
        return None
    if kind == 1:  # 01:30 came twice that day in Lisbon
        return moment_at(datetime(2025, 10, 26, 1, 30), ZONES[0], draw(st.sampled_from((0, 60))))  # noqa: DTZ001
    if kind == 2:  # 01:30 never came that day in Lisbon
        return moment_at(datetime(2025, 3, 30, 1, 30), ZONES[0], 0)  # noqa: DTZ001
    wall = draw(st.datetimes(datetime(1990, 1, 1), datetime(2026, 3, 1)))  # noqa: DTZ001
    wall = wall.replace(microsecond=0, second=draw(st.sampled_from((0, 0, wall.second))), fold=0)
    offsets = offsets_of(wall, zone)
    return moment_at(wall, zone, draw(st.sampled_from(offsets or (0,))))


@st.composite
def new_readings(draw: st.DrawFn) -> NewReading:
    maybe = st.none() | words
    standing = draw(st.sampled_from(Standing))
    moment = draw(moments())
    states = ("sure", "repaired", "asked", "gap", "overlap", "future")
    mark = draw(st.sampled_from(MARKS))
    return NewReading(
        glucose=draw(results),
        moment=moment,
        time_from=draw(st.sampled_from(("now", "typed", "file", "meter", "paper"))),
        time_state="undated" if moment is None else draw(st.sampled_from(states)),
        time_precision=draw(st.sampled_from(("second", "minute", "slot", "day"))),
        mark=mark,
        mark_from=None if mark is Mark.NONE else draw(st.sampled_from(("person", "accepted"))),
        after_min=draw(st.none() | st.integers(0, 600)),
        site=draw(st.none() | st.sampled_from(("finger", "palm")) | words),
        site_detail=draw(maybe),
        hands=draw(st.sampled_from(("washed", "not", "unknown"))),
        standing=standing,
        standing_why=draw(words if standing is Standing.SET_ASIDE else maybe),
        odd_ok=draw(st.booleans()),
        stamp=Stamp(draw(maybe), draw(maybe), draw(maybe), draw(maybe)),
        note=draw(maybe),
        tags=tuple(draw(st.lists(words, max_size=3, unique=True))),
        keeper=draw(maybe),
    )


@settings(max_examples=60, deadline=None)
@given(st.lists(new_readings(), min_size=1, max_size=5), st.sampled_from(("typed", "file")))
def test_an_export_brought_into_an_empty_diary_restores_every_field(
    readings: list[NewReading], origin: str
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        with new_diary(Path(folder), "one.thimblebook") as diary:
            person = tilde(diary)
            for new in readings:
                with diary.change("enter", {}, now=NOW, person=person) as change:
                    write_reading(change, person, new, origin=origin)
            before = readings_of(diary, person)
            text = exported(diary, person)
        with new_diary(Path(folder), "two.thimblebook") as diary:
            person = tilde(diary)
            brought_in(diary, person, text.encode(), now=NOW + timedelta(days=1))
            after = readings_of(diary, person)
            again = exported(diary, person)

    # Those without a time stand last in the order they were written, and so they stay.
    assert [everything(each) for each in after] == [everything(each) for each in before]
    assert again == text


def test_a_reading_to_come_that_was_confirmed_is_restored(diary: Diary, tmp_path: Path) -> None:
    person = tilde(diary)
    written(diary, person, "2031-03-12 07:05", "7.2")

    with new_diary(tmp_path, "two.thimblebook") as other:
        brought_in(other, tilde(other), exported(diary, person).encode())
        (restored,) = readings_of(other, tilde_of(other))

    assert restored.moment is not None
    assert restored.moment.wall == "2031-03-12T07:05"


def tilde_of(diary: Diary) -> Person:
    return persons(diary)[0]


def test_an_export_brought_back_changes_nothing_that_was_corrected_since(diary: Diary) -> None:
    person = tilde(diary)
    uid = written(diary, person, "2026-03-12 07:05", "7.2")
    data = exported(diary, person).encode()
    with diary.change("correct", {}, now=NOW, person=person) as change:
        (before,) = readings_of(diary, person)
        change.edit(schema.reading, before.id, value="7.9", mg_dl=7.9 * 18.0156)

    file = File("export.csv", data, read_table(data, None))
    found = bring_in(diary, person, file, now=NOW, recipe=None)

    assert (found.account.new, found.account.held) == (0, 1)
    assert found.held[0].why.startswith("the diary holds this record with another value")
    (after,) = readings_of(diary, person)
    assert (after.uid, after.glucose.value) == (uid, "7.9")


def test_a_record_of_another_person_is_held(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.2")
    data = exported(diary, person).encode()
    bram = add_person(diary, "Bram", unit="mmol/L", zone="Europe/Lisbon", now=NOW)

    file = File("export.csv", data, read_table(data, None))
    found = bring_in(diary, bram, file, now=NOW, recipe=None)

    assert found.held[0].why == "this record belongs to another person of the diary"
    assert readings_of(diary, bram) == []


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "＝1"])
def test_no_text_leaves_as_a_formula(diary: Diary, text: str) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.2", note=text, tags=(text,))

    (row,) = csv.DictReader(io.StringIO(exported(diary, person), newline=""))

    assert row["note"] == f"'{text}"
    assert row["tags"] == f"'{text}"
    (restored,) = read_table(exported(diary, person).encode(), None).rows
    assert restored.note == text


def test_the_file_is_for_its_owner_alone(diary: Diary, tmp_path: Path) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.2")
    out = tmp_path / "out.csv"

    assert export_csv(diary, person, out) == 1
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert [path.name for path in tmp_path.glob(".*")] == []  # nothing half-made is left behind


def test_a_file_that_is_there_is_left_unless_said_otherwise(diary: Diary, tmp_path: Path) -> None:
    person = tilde(diary)
    out = tmp_path / "letter.csv"
    out.write_text("dear doctor", encoding="utf-8")

    with pytest.raises(Refused, match=r"Something lies at .* already"):
        export_csv(diary, person, out)
    assert out.read_text(encoding="utf-8") == "dear doctor"
    export_csv(diary, person, out, replace=True)
    assert out.read_text(encoding="utf-8").startswith("record_id,")


def test_the_diary_is_never_written_over(diary: Diary, tmp_path: Path) -> None:
    person = tilde(diary)
    before = diary.path.read_bytes()
    (tmp_path / "elsewhere").mkdir()
    for out in (diary.path, tmp_path / "elsewhere" / ".." / diary.path.name):
        with pytest.raises(Refused, match="is the diary itself"):
            export_csv(diary, person, out, replace=True)
    assert diary.path.read_bytes() == before


@pytest.mark.parametrize("place", ["missing/out.csv", "folder"])
def test_a_place_that_can_not_be_written_is_said(diary: Diary, tmp_path: Path, place: str) -> None:
    (tmp_path / "folder").mkdir()

    with pytest.raises(StoreUnavailable, match="could not be written"):
        export_csv(diary, tilde(diary), tmp_path / place, replace=True)


def test_a_period_leaves_with_both_its_days_and_those_undated_stay(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    for at in ("2026-03-09 23:00", "2026-03-10 03:59", "2026-03-10 04:00", "2026-03-12 03:59",
               "2026-03-12 04:00"):  # fmt: skip
        written(diary, person, at, "7.2")
    undated = NewReading(Glucose("6.1", Unit.MMOL_L), None, time_state="undated")
    with diary.change("enter", {}, now=NOW, person=person) as change:
        write_reading(change, person, undated, origin="typed")

    def times(period: Period | None) -> list[Any]:
        rows = csv.DictReader(io.StringIO(exported(diary, person, period), newline=""))
        return [row["measured_at"][:16] for row in rows]

    assert times(Period(date(2026, 3, 10), date(2026, 3, 11))) == [
        "2026-03-10T04:00",
        "2026-03-12T03:59",
    ]
    assert len(times(None)) == 6


def test_an_instant_leaves_as_it_was(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-07-12 07:05", "7.2")

    (row,) = csv.DictReader(io.StringIO(exported(diary, person), newline=""))

    assert row["measured_at"] == "2026-07-12T07:05+01:00"
    assert datetime.fromisoformat(row["measured_at"]) == datetime(2026, 7, 12, 6, 5, tzinfo=UTC)
    assert (row["glucose_mg_dl"], row["glucose_mmol_l"]) == ("130", "7.2")
