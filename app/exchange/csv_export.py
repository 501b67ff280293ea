"""Readings written as CSV by RFC 4180, so that they can be read back exactly and opened safely."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TextIO

from app.domain.glucose import Bound, Glucose, Unit

COLUMNS = (
    "record_id",
    "measured_at",
    "time_zone",
    "glucose_mg_dl",
    "glucose_mmol_l",
    "limit",
    "entered_value",
    "entered_unit",
    "mark",
    "minutes_after_meal",
    "sample_site",
    "site_detail",
    "hands",
    "standing",
    "standing_reason",
    "odd_confirmed",
    "tags",
    "note",
    "keeper",
    "time_from",
    "time_state",
    "time_precision",
    "mark_from",
    "source",
    "raw_time",
    "raw_value",
    "raw_unit",
    "code",
    "entered_at_utc",
    "doubt_reasons",
    "source_row",
)
LIMIT_SIGNS = {Bound.EXACT: "", Bound.BELOW: "<", Bound.ABOVE: ">", Bound.NO_VALUE: "none"}

# A cell that starts so may run as a formula in a spreadsheet program (OWASP ASVS 1.2.10, CWE-1236;
# line feed and the full-width forms from memory). The quote that guards it is itself guarded, so
# that taking one away always gives the text back.
_RISKY = tuple("=+-@\t\r\n'＝＋－＠")


@dataclass(frozen=True, slots=True)
class ExportRow:
    """A reading as it leaves the diary. None is an unknown; empty texts are read back as None.

    `wall` is naive ISO text, `entered_at` UTC seconds. The two glucose columns are rounded for
    people; `glucose` as entered is what is read back.
    """

    record_id: str
    wall: str | None
    offset_min: int | None
    zone: str | None
    glucose: Glucose
    mark: str = "none"
    after_min: int | None = None
    site: str | None = None
    site_detail: str | None = None
    hands: str = "unknown"
    standing: str = "counted"
    standing_reason: str | None = None
    odd_confirmed: bool = False
    tags: tuple[str, ...] = ()
    note: str | None = None
    keeper: str | None = None
    time_from: str = "typed"
    time_state: str = "sure"
    time_precision: str = "minute"
    mark_from: str | None = None
    origin: str | None = None
    raw_wall: str | None = None
    raw_value: str | None = None
    raw_unit: str | None = None
    code: str | None = None
    entered_at: int | None = None
    doubt_reasons: str = ""  # for people: worked out anew where the reading is brought back
    source_row: str | None = None  # by which the file it came from is known again


def write_readings_csv(records: Iterable[ExportRow], stream: TextIO) -> int:
    r"""Write the header and one record for each reading; returns how many.

    Open `stream` with ``newline=""``: the lines end in CR LF, and line ends inside a note are kept.
    """
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    count = 0
    for count, record in enumerate(records, 1):  # noqa: B007
        writer.writerow(_cells(record))
    return count


def guarded(text: str | None) -> str:
    """A free text that no spreadsheet program runs.

    >>> guarded("=1+1"), guarded("'quoted'"), guarded("walked home")
    ("'=1+1", "''quoted'", 'walked home')
    """
    if not text:
        return ""
    return f"'{text}" if text.startswith(_RISKY) else text


def joined_tags(tags: Iterable[str]) -> str:
    r"""Tags in one text, parted by semicolons; one inside a tag is written ``\;``."""
    return ";".join(tag.replace("\\", "\\\\").replace(";", "\\;") for tag in tags)


def _cells(row: ExportRow) -> tuple[object, ...]:
    glucose = row.glucose
    return (
        row.record_id,
        _stamp(row.wall, row.offset_min),
        row.zone,
        _rounded(glucose, Unit.MG_DL),
        _rounded(glucose, Unit.MMOL_L),
        LIMIT_SIGNS[glucose.bound],
        glucose.value,
        glucose.unit.value,
        row.mark,
        row.after_min,
        guarded(row.site),
        guarded(row.site_detail),
        row.hands,
        row.standing,
        guarded(row.standing_reason),
        "yes" if row.odd_confirmed else "",
        guarded(joined_tags(row.tags)),
        guarded(row.note),
        guarded(row.keeper),
        row.time_from,
        row.time_state,
        row.time_precision,
        row.mark_from,
        row.origin,
        guarded(row.raw_wall),
        guarded(row.raw_value),
        guarded(row.raw_unit),
        guarded(row.code),
        None if row.entered_at is None else _utc(row.entered_at),
        row.doubt_reasons,
        guarded(row.source_row),
    )


def _stamp(wall: str | None, offset_min: int | None) -> str:
    if wall is None or offset_min is None:
        return wall or ""
    hours, minutes = divmod(abs(offset_min), 60)
    return f"{wall}{'-' if offset_min < 0 else '+'}{hours:02}:{minutes:02}"


def _rounded(glucose: Glucose, unit: Unit) -> str:
    number = glucose.in_unit(unit)
    return "" if number is None else Glucose(glucose.value, glucose.unit).shown(unit)


def _utc(seconds: int) -> str:
    return f"{datetime.fromtimestamp(seconds, UTC):%Y-%m-%dT%H:%M:%S}Z"
