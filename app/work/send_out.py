"""Readings leave the diary as a file that nobody else on this computer can read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TextIO
from uuid import UUID, uuid4

from app.domain.clock import Period
from app.domain.errors import Refused, StoreUnavailable
from app.domain.person import Person
from app.domain.reading import Reading, Standing
from app.exchange.csv_export import COLUMNS, ExportRow, write_readings_csv
from app.store.diary import Diary
from app.store.durable import private_file, remove_with_company, sync_file, sync_folder
from app.store.readings import readings_of
from app.work.source_rows import source_rows

_CALENDAR = b"BEGIN:VCALENDAR"


def export_csv(
    diary: Diary,
    person: Person,
    out: Path,
    *,
    period: Period | None = None,
    replace: bool = False,
) -> int:
    """Write a person's readings as CSV; returns how many.

    Raises
    ------
    Refused
        Something lies at `out` already and is not to be replaced, or it is the diary itself.
    StoreUnavailable
        The file can't be written there.
    """
    return _sent(
        diary,
        out,
        lambda stream: write_csv(diary, person, stream, period=period),
        replace=replace,
    )


def export_calendar(diary: Diary, out: Path, text: str) -> None:
    """Write the text of a calendar; an older calendar at `out` is written over.

    Raises
    ------
    Refused
        Something else lies at `out`.
    StoreUnavailable
        The file can't be written there.
    """
    if out.exists() and not _is_calendar(out):
        raise Refused(f"{out} is no calendar; it was left as it is. Name another file.")
    _sent(diary, out, lambda stream: stream.write(text), replace=True)


def _is_calendar(path: Path) -> bool:
    try:
        with path.open("rb") as stream:
            return stream.read(len(_CALENDAR)).upper() == _CALENDAR
    except OSError:
        return False


def _sent(diary: Diary, out: Path, write: Callable[[TextIO], int], *, replace: bool) -> int:
    with (
        sent_file(diary, out, replace=replace) as fresh,
        fresh.open("w", encoding="utf-8", newline="") as stream,
    ):
        return write(stream)


@contextmanager
def sent_file(diary: Diary, out: Path, *, replace: bool) -> Iterator[Path]:
    """An empty file for this user alone, to be written; it gets the name `out` when all went well.

    Raises
    ------
    Refused
        Something lies at `out` already and is not to be replaced, or it is the diary itself.
    StoreUnavailable
        The file can't be written there; what lay there stays as it was.
    """
    if not out.name:
        raise Refused(f"{out} is no file that can be written; name one. The diary is as it was.")
    if out.exists() and out.samefile(diary.path):
        raise Refused(f"{out} is the diary itself; it was left as it is. Name another file.")
    if out.exists() and not replace:
        raise Refused(f"Something lies at {out} already; it was left as it is. Say --replace.")
    with _in_place_of(out) as fresh:
        yield fresh


def write_text(out: Path, text: str) -> None:
    """Put a whole text in place of what lies at `out`, for this user's eyes only.

    Raises
    ------
    StoreUnavailable
        It can't be written there; what lay there stays as it was.
    """
    with _in_place_of(out) as fresh, fresh.open("w", encoding="utf-8", newline="") as stream:
        stream.write(text)


@contextmanager
def _in_place_of(out: Path) -> Iterator[Path]:
    fresh = out.with_name(f".{out.name}.{uuid4().hex}")
    try:
        private_file(fresh)
        yield fresh
        sync_file(fresh)
        fresh.replace(out)
        sync_folder(out.parent)
    except OSError as problem:
        raise StoreUnavailable(
            f"{out} could not be written ({problem.strerror}). The diary is as it was; "
            "name a folder where you may write."
        ) from problem
    finally:
        remove_with_company(fresh)


def write_csv(diary: Diary, person: Person, stream: TextIO, *, period: Period | None = None) -> int:
    """Write a person's readings as CSV to an open text stream; returns how many."""
    readings = readings_of(diary, person, period)
    return write_readings_csv(_rows(readings, source_rows(diary, person, readings)), stream)


def summary(diary: Diary, person: Person, period: Period | None) -> tuple[str, ...]:
    """What a CSV file would hold, in lines, before it is written: whose, of when, what."""
    readings = readings_of(diary, person, period)
    walls = [reading.moment.wall for reading in readings if reading.moment]
    spread = f", from {min(walls)[:10]} to {max(walls)[:10]}" if walls else ""
    parts = {
        "with a note": sum(reading.note is not None for reading in readings),
        "with tags": sum(bool(reading.tags) for reading in readings),
        "with the name of who wrote it": sum(reading.keeper is not None for reading in readings),
        "in doubt": sum(bool(reading.doubt) for reading in readings),
        "not counted": sum(reading.standing is not Standing.COUNTED for reading in readings),
        "without a time": len(readings) - len(walls),
    }
    return (
        f"Person: {person.name}.",
        f"Period: {_days(period)}.",
        f"Rows: {len(readings)}{spread}.",
        f"Of these {', '.join(f'{count} {what}' for what, count in parts.items())}.",
        f"Columns: {', '.join(COLUMNS)}.",
        "Nothing was written.",
    )


def _days(period: Period | None) -> str:
    if period is None:
        return "all of it, readings without a time too"
    if period.last == date.max:
        return f"from {period.first} on"
    if period.first == date.min:
        return f"up to {period.last}"
    return f"{period.first} to {period.last}, both included"


def _rows(readings: Iterable[Reading], sources: Mapping[UUID, str]) -> Iterator[ExportRow]:
    for reading in readings:
        moment, stamp = reading.moment, reading.stamp
        yield ExportRow(
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
            source_row=sources.get(reading.uid),
        )
