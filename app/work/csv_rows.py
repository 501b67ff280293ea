"""What a CSV of readings holds: its rows, what may stay behind, and its sum in numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from typing import Any
from uuid import UUID

from app.domain.clock import Period
from app.domain.person import Person
from app.domain.reading import Reading, Standing
from app.exchange.csv_export import ExportRow


class Part(StrEnum):
    """What of a reading may stay behind; the columns are there all the same, and empty."""

    NOTES = "notes"
    TAGS = "tags"
    KEEPERS = "keepers"
    DOUBT = "doubt"
    SOURCE = "source"


_BLANK: dict[Part, dict[str, Any]] = {
    Part.NOTES: {"note": None},
    Part.TAGS: {"tags": ()},
    Part.KEEPERS: {"keeper": None},
    Part.DOUBT: {"doubt_reasons": ""},
    Part.SOURCE: {
        **dict.fromkeys(("raw_wall", "raw_value", "raw_unit", "code", "source_row")),
    },
}


@dataclass(frozen=True, slots=True)
class CsvHolds:
    """What a CSV would hold, whatever stays behind of it.

    `first` and `last` are local days · `keepers` who wrote entries, by how many · `note_keepers`
    whose notes there are; a note without a name is the person's own or nobody said · `sourced`
    readings that came from a file.
    """

    person: Person
    period: Period | None
    readings: int
    first: date | None
    last: date | None
    undated: int
    notes: int
    note_keepers: tuple[str, ...]
    tags: int
    keepers: dict[str, int]
    doubt: int
    not_counted: int
    reasons: int
    sourced: int


def holds(person: Person, period: Period | None, readings: Sequence[Reading]) -> CsvHolds:
    """Count what leaves with readings."""
    walls = [each.moment.wall for each in readings if each.moment]
    noted = [each for each in readings if each.note is not None]
    return CsvHolds(
        person=person,
        period=period,
        readings=len(readings),
        first=date.fromisoformat(min(walls)[:10]) if walls else None,
        last=date.fromisoformat(max(walls)[:10]) if walls else None,
        undated=len(readings) - len(walls),
        notes=len(noted),
        note_keepers=tuple(sorted({each.keeper for each in noted if each.keeper is not None})),
        tags=sum(bool(each.tags) for each in readings),
        keepers=dict(Counter(each.keeper for each in readings if each.keeper is not None)),
        doubt=sum(bool(each.doubt) for each in readings),
        not_counted=sum(each.standing is not Standing.COUNTED for each in readings),
        reasons=sum(each.standing_why is not None for each in readings),
        sourced=sum(each.stamp.wall is not None for each in readings),
    )


def rows_of(
    readings: Iterable[Reading], sources: Mapping[UUID, str], without: Collection[Part] = ()
) -> Iterator[ExportRow]:
    """A row for each reading, with nothing in it of what stays behind."""
    blank = {name: value for part in without for name, value in _BLANK[part].items()}
    for reading in readings:
        row = _row(reading, sources.get(reading.uid))
        yield replace(row, **blank) if blank else row


def _row(reading: Reading, source_row: str | None) -> ExportRow:
    moment, stamp = reading.moment, reading.stamp
    return ExportRow(
        record_id=str(reading.uid),
        wall=moment.wall if moment else None,
        offset_min=moment.offset_min if moment else None,
        zone=moment.zone if moment else None,
        glucose=reading.glucose,
        mark=reading.mark,
        after_min=reading.after_min,
        site=reading.site,
        site_detail=reading.site_detail,
        hands=reading.hands,
        standing=reading.standing.value,
        standing_reason=reading.standing_why,
        odd_confirmed=reading.odd_ok,
        tags=reading.tags,
        note=reading.note,
        keeper=reading.keeper,
        time_from=reading.time_from,
        time_state=reading.time_state,
        time_precision=reading.time_precision,
        mark_from=reading.mark_from,
        origin=reading.origin,
        raw_wall=stamp.wall,
        raw_value=stamp.value,
        raw_unit=stamp.unit,
        code=stamp.code,
        entered_at=reading.entered_at,
        doubt_reasons=reading.doubt.words,
        source_row=source_row,
    )
