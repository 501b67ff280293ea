"""A spreadsheet file (xlsx) as the text of its first sheet that holds anything."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from importlib import import_module
from zipfile import BadZipFile, ZipFile

from app.domain.errors import Refused
from app.domain.numerals import plain_number
from app.exchange.encodings import LARGEST_BYTES

_ZIP = b"PK\x03\x04"
_BOOK = "xl/workbook.xml"
_MOST_COLUMNS = 200
_NO_CHANGE = "Nothing was changed."


def is_spreadsheet(data: bytes) -> bool:
    """Whether the bytes are an xlsx file: a zip that holds a workbook."""
    if not data.startswith(_ZIP):
        return False
    try:
        with ZipFile(io.BytesIO(data)) as packed:
            return _BOOK in packed.namelist()
    except (BadZipFile, ValueError, OSError):
        return False


def sheet_as_csv(data: bytes) -> bytes:
    """The first sheet that holds anything, as CSV in UTF-8: values as they stand, dates as ISO.

    Raises
    ------
    Refused
        openpyxl is not installed, the file is too large unpacked, broken or empty.
    """
    with ZipFile(io.BytesIO(data)) as packed:
        if sum(each.file_size for each in packed.infolist()) > LARGEST_BYTES:
            raise Refused(
                "The spreadsheet is too large once it is unpacked. Save it as CSV in parts, and "
                f"bring those in. {_NO_CHANGE}"
            )
    try:
        load = import_module("openpyxl").load_workbook
    except ImportError:
        raise Refused(
            "This is a spreadsheet (xlsx), and what reads it is not installed. Save it as CSV from "
            'the spreadsheet program, or install it with: pip install "thimblebook[xlsx]". '
            f"{_NO_CHANGE}"
        ) from None
    try:
        return _csv_of(load(io.BytesIO(data), read_only=True, data_only=True).worksheets)
    except Refused:
        raise
    except Exception as problem:  # openpyxl raises whatever its parts stumble over
        raise Refused(
            "The spreadsheet is broken and can't be read. Save it anew, or as CSV, from the "
            f"spreadsheet program. {_NO_CHANGE}"
        ) from problem


def _csv_of(sheets: Iterable[object]) -> bytes:
    for sheet in sheets:
        text = io.StringIO(newline="")
        write = csv.writer(text, lineterminator="\n").writerow
        rows = sheet.iter_rows(values_only=True)  # type: ignore[attr-defined]
        some = False
        for row in rows:
            cells = [_as_text(cell) for cell in row[:_MOST_COLUMNS]]
            some = some or any(cells)
            write(cells)
        if some:
            return text.getvalue().encode("utf-8", "replace")
    raise Refused(f"The spreadsheet holds no cell with anything in it. {_NO_CHANGE}")


def _as_text(cell: object) -> str:
    """A cell as a person reads it: dates and times in ISO form, whole numbers without a point."""
    if cell is None:
        return ""
    if isinstance(cell, datetime):
        # A date without a time is kept as midnight by spreadsheets; files of meters mean the day.
        midnight = cell.time() == time()
        return cell.date().isoformat() if midnight else cell.isoformat(" ", "seconds")
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, time):
        return cell.isoformat("seconds")
    if isinstance(cell, timedelta):
        return str(cell)
    if isinstance(cell, float):
        # Binary dust of the file format (5.6000000000000005) is no digit of the meter.
        shown = repr(round(cell, 9))
        return plain_number(shown.removesuffix(".0")) or shown
    return str(cell)
