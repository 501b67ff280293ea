"""Our own CSV export, written and read back."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.errors import Refused
from app.domain.glucose import Bound, Glucose, Unit
from app.exchange.csv_export import COLUMNS, ExportRow, guarded, joined_tags, write_readings_csv
from app.exchange.csv_restore import split_tags, unguarded
from app.exchange.file_read import FileRead, ReadingRow, Row
from app.exchange.table import read_table

ODD = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=1) | (
    st.sampled_from(
        ["=1+1", "'quoted", "''", "-5", "@x", "\tx", "\rx", "\nx", "a\r\nb", 'say "no"', ";", "\\",
         "＝1", "שלום", "🩸,🩸", "\x85\u2028", '"', ",", " x ", "\ufeff"]
    )
)  # fmt: skip
NUMBERS = st.decimals(1, 54, places=1).map(str)
GLUCOSE = st.one_of(
    st.builds(Glucose, NUMBERS, st.sampled_from(Unit), st.just(Bound.EXACT)),
    st.builds(
        Glucose,
        st.none() | NUMBERS,
        st.sampled_from(Unit),
        st.sampled_from([Bound.BELOW, Bound.ABOVE]),
    ),
    st.builds(Glucose, st.none(), st.sampled_from(Unit), st.just(Bound.NO_VALUE)),
)
MAYBE = st.none() | ODD
RECORDS = st.builds(
    ExportRow,
    record_id=st.uuids().map(str),
    wall=st.datetimes().map(
        lambda time: f"{time.replace(year=2024, month=3, day=1):%Y-%m-%dT%H:%M}"
    ),
    offset_min=st.integers(-14 * 60, 14 * 60),
    zone=st.sampled_from(["Europe/Lisbon", "America/Chicago"]),
    glucose=GLUCOSE,
    mark=st.sampled_from(["none", "waking", "after_lunch"]),
    after_min=st.none() | st.integers(0, 999),
    site=MAYBE,
    site_detail=MAYBE,
    hands=st.sampled_from(["unknown", "washed", "not"]),
    standing=st.just("set_aside"),
    standing_reason=ODD,
    odd_confirmed=st.booleans(),
    tags=st.lists(ODD, max_size=3).map(tuple),
    note=MAYBE,
    keeper=MAYBE,
    time_from=st.sampled_from(["typed", "meter"]),
    time_state=st.sampled_from(["sure", "gap"]),
    time_precision=st.sampled_from(["minute", "slot"]),
    mark_from=st.sampled_from([None, "person"]),
    origin=st.sampled_from([None, "typed", "file"]),
    raw_wall=MAYBE,
    raw_value=MAYBE,
    raw_unit=MAYBE,
    code=MAYBE,
    entered_at=st.none() | st.integers(0, 4_000_000_000),
    source_row=MAYBE,
)


def written(records: list[ExportRow]) -> str:
    stream = io.StringIO(newline="")
    assert write_readings_csv(records, stream) == len(records)
    return stream.getvalue()


def exported(row: Row) -> ExportRow:
    assert isinstance(row, ReadingRow)
    more = row.more
    assert more is not None
    return ExportRow(
        record_id=str(more.record_id),
        wall=None if row.wall is None else f"{row.wall:%Y-%m-%dT%H:%M}",
        offset_min=more.offset_min,
        zone=more.zone,
        glucose=row.glucose,
        mark=row.mark.value,
        after_min=row.after_min,
        site=more.site,
        site_detail=more.site_detail,
        hands=more.hands,
        standing=more.standing,
        standing_reason=more.standing_reason,
        odd_confirmed=more.odd_confirmed,
        tags=more.tags,
        note=row.note,
        keeper=more.keeper,
        time_from=more.time_from,
        time_state=more.time_state,
        time_precision=row.precision,
        mark_from=more.mark_from,
        origin=more.origin,
        raw_wall=row.raw_wall,
        raw_value=row.raw_value,
        raw_unit=row.raw_unit,
        code=row.code,
        entered_at=more.entered_at,
        source_row=more.source_row,
    )


def read(text: str) -> FileRead:
    return read_table(text.encode(), None)


PLAIN = ExportRow(
    "0b6a2f4e-6f0e-4d0f-9a3d-3b2f9d9a2001",
    "2026-03-01T07:30",
    60,
    "Europe/Paris",
    Glucose("5.8", Unit.MMOL_L),
    note="=odd note",
)


@settings(max_examples=150, deadline=None)
@given(st.lists(RECORDS, min_size=1, max_size=4))
def test_what_was_exported_is_read_back_exactly(records: list[ExportRow]) -> None:
    file = read(written(records))

    assert file.ours
    assert file.problems == []
    assert [exported(row) for row in file.rows] == records


def test_a_record_has_both_units_its_offset_and_no_live_formula() -> None:
    titles, cells = list(csv.reader(io.StringIO(written([PLAIN]))))

    row = dict(zip(titles, cells, strict=True))
    assert tuple(titles) == COLUMNS
    assert row["measured_at"] == "2026-03-01T07:30+01:00"
    assert (row["glucose_mg_dl"], row["glucose_mmol_l"]) == ("104", "5.8")
    assert (row["entered_value"], row["entered_unit"]) == ("5.8", "mmol/L")
    assert row["note"] == "'=odd note"
    assert written([PLAIN]).endswith("\r\n")


def test_an_undated_reading_stays_undated() -> None:
    undated = ExportRow("x", None, None, None, Glucose(None, Unit.MG_DL, Bound.BELOW))

    (row,) = read(written([undated])).rows

    assert row.wall is None
    assert exported(row) == undated


@given(ODD)
def test_no_text_leaves_as_a_formula_and_each_comes_back(text: str) -> None:
    cell = guarded(text)

    assert not cell.startswith(tuple("=+-@\t\r\n＝＋－＠"))
    assert unguarded(cell) == text


@given(st.lists(ODD, max_size=5))
def test_tags_come_apart_as_they_were_joined(tags: list[str]) -> None:
    assert split_tags(joined_tags(tags)) == tuple(tags)


def test_a_file_of_others_keeps_its_quotes() -> None:
    (row,) = read("Date,Time,Result (mg/dL),Note\n2024-03-01,07:30,100,'tis fine\n").rows

    assert row.note == "'tis fine"


def test_our_export_is_known_after_a_spreadsheet_saved_it_with_semicolons() -> None:
    rows = list(csv.reader(io.StringIO(written([PLAIN]))))
    stream = io.StringIO(newline="")
    csv.writer(stream, delimiter=";", quoting=csv.QUOTE_ALL).writerows(rows)

    file = read_table(stream.getvalue().encode("utf-8-sig"), None)

    assert file.ours
    assert [exported(row) for row in file.rows] == [PLAIN]


@pytest.mark.parametrize(
    ("column", "cell", "why"),
    [
        ("measured_at", "soon", "no date and time"),
        ("measured_at", "1962-03-01T07:30+01:00", "outside 1970 to 2199"),
        ("limit", "?", "means nothing in the column limit"),
        ("limit", "none", "both a value and that there is none"),
        ("entered_value", "", "the value is missing"),
        ("entered_value", "nan", "not a plain number"),
        ("entered_value", "0", "not 0"),
        ("entered_unit", "g/L", "means nothing in the column entered_unit"),
        ("mark", "dawn", "not known to this version"),
        ("minutes_after_meal", "1e3", "no number of minutes"),
        ("standing", "odd", "no standing"),
        ("standing", "set_aside", "without a reason"),
        ("entered_at_utc", "x", "no date and time"),
    ],
)
def test_a_cell_that_was_spoiled_is_refused_with_its_row(column: str, cell: str, why: str) -> None:
    titles, cells = list(csv.reader(io.StringIO(written([PLAIN]))))
    cells[titles.index(column)] = cell
    stream = io.StringIO(newline="")
    csv.writer(stream).writerows([titles, cells])

    file = read(stream.getvalue())

    assert file.rows == []
    assert [problem.line for problem in file.problems] == [2]
    assert why in file.problems[0].why


def test_an_export_cut_at_any_byte_is_accounted_for() -> None:
    records = [
        ExportRow(str(number), "2026-03-01T07:30", 60, "Europe/Paris", Glucose("5.8", Unit.MMOL_L),
                  note='two\nlines, "so"')
        for number in range(3)
    ]  # fmt: skip
    data = written(records).encode()
    whole = [exported(row) for row in read_table(data, None).rows]

    for end in range(data.index(b"\n") + 1, len(data)):
        try:
            file = read_table(data[:end], None)
        except Refused:
            continue
        complete = data[:end].count(b"Z\r\n") + data[:end].count(b",\r\n")
        assert [exported(row) for row in file.rows][:complete] == whole[:complete]
        lines = [row.line for row in file.rows] + [problem.line for problem in file.problems]
        assert len(set(lines)) == len(lines) == file.seen


def test_a_column_of_a_later_version_is_named() -> None:
    text = written([PLAIN]).replace("\r\n", ",x\r\n").replace("source_row,x", "source_row,mood")

    assert read(text).notes == ("Columns not read: mood.",)
