from __future__ import annotations

import io
import sys
from datetime import date, datetime, time
from typing import Any
from zipfile import ZipFile

import openpyxl
import pytest

from app.domain.errors import Refused
from app.exchange.file_read import ReadingRow
from app.exchange.spreadsheet import is_spreadsheet, sheet_as_csv
from app.exchange.table import read_table


def a_book(*rows: tuple[Any, ...], before: bool = False) -> bytes:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    if before:
        sheet = book.create_sheet("data")
    for row in rows:
        sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


ROWS = (
    ("Date", "Time", "Glucose (mmol/L)", "Note"),
    (date(2026, 3, 1), time(7, 5), 5.6000000000000005, "café, late"),
    (datetime(2026, 3, 2), time(7, 0, 30), 7, None),  # noqa: DTZ001 - cells have no zone
)


@pytest.mark.parametrize("before", [False, True])
def test_the_first_sheet_with_anything_is_read_as_it_stands(before: bool) -> None:
    text = sheet_as_csv(a_book(*ROWS, before=before)).decode()

    assert text.splitlines() == [
        "Date,Time,Glucose (mmol/L),Note",
        '2026-03-01,07:05:00,5.6,"café, late"',
        "2026-03-02,07:00:30,7,",
    ]


def test_a_spreadsheet_comes_in_as_any_table_does() -> None:
    read = read_table(a_book(*ROWS), None)

    found = [(row.wall, row.glucose.value) for row in read.rows if isinstance(row, ReadingRow)]
    assert [(str(wall), value) for wall, value in found] == [
        ("2026-03-01 07:05:00", "5.6"),
        ("2026-03-02 07:00:30", "7"),
    ]


def test_without_what_reads_it_a_sentence_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    data = a_book(*ROWS)
    monkeypatch.setitem(sys.modules, "openpyxl", None)

    with pytest.raises(Refused, match=r"is not installed.*CSV.*thimblebook\[xlsx\].*Nothing was"):
        sheet_as_csv(data)


def test_an_empty_book_is_refused() -> None:
    with pytest.raises(Refused, match="holds no cell"):
        sheet_as_csv(a_book())


def test_a_broken_book_is_refused() -> None:
    out = io.BytesIO()
    with ZipFile(out, "w") as packed:
        packed.writestr("xl/workbook.xml", "<not a book")
    data = out.getvalue()

    assert is_spreadsheet(data)
    with pytest.raises(Refused, match="is broken"):
        sheet_as_csv(data)


def test_a_book_that_swells_is_refused_before_it_is_unpacked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("app.exchange.spreadsheet.LARGEST_BYTES", 1000)

    with pytest.raises(Refused, match="too large once it is unpacked"):
        sheet_as_csv(a_book(*ROWS))


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"PK\x03\x04junk", b"Date,Time\n"])
def test_what_is_no_book_is_not_taken_for_one(data: bytes) -> None:
    assert not is_spreadsheet(data)
