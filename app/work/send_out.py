"""Readings leave the diary as a file that nobody else on this computer can read."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import TextIO
from uuid import uuid4

from app.domain.clock import Period
from app.domain.errors import Refused, StoreUnavailable
from app.domain.person import Person
from app.domain.reading import Reading
from app.exchange.csv_export import ExportRow, write_readings_csv
from app.store.diary import Diary
from app.store.readings import readings_of

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
    if not out.name:
        raise Refused(f"{out} is no file that can be written; name one. The diary is as it was.")
    if out.exists() and out.samefile(diary.path):
        raise Refused(f"{out} is the diary itself; it was left as it is. Name another file.")
    if out.exists() and not replace:
        raise Refused(f"Something lies at {out} already; it was left as it is. Say --replace.")
    fresh = out.with_name(f".{out.name}.{uuid4().hex}")
    try:
        with fresh.open("x", encoding="utf-8", newline="") as stream:
            fresh.chmod(0o600)
            count = write(stream)
            stream.flush()
            os.fsync(stream.fileno())
        fresh.replace(out)
    except OSError as problem:
        raise StoreUnavailable(
            f"{out} could not be written ({problem.strerror}). The diary is as it was; "
            "name a folder where you may write."
        ) from problem
    finally:
        with suppress(OSError):  # where nothing can be written, nothing is there to be removed
            fresh.unlink(missing_ok=True)
    return count


def write_text(out: Path, text: str) -> None:
    """Put a whole text in place of what lies at `out`, for this user's eyes only.

    Raises
    ------
    StoreUnavailable
        It can't be written there; what lay there stays as it was.
    """
    fresh = out.with_name(f".{out.name}.{uuid4().hex}")
    try:
        with fresh.open("x", encoding="utf-8", newline="") as stream:
            fresh.chmod(0o600)
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        fresh.replace(out)
    except OSError as problem:
        raise StoreUnavailable(
            f"{out} could not be written ({problem.strerror}). The diary is as it was; "
            "name a folder where you may write."
        ) from problem
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)


def write_csv(diary: Diary, person: Person, stream: TextIO, *, period: Period | None = None) -> int:
    """Write a person's readings as CSV to an open text stream; returns how many."""
    return write_readings_csv(_rows(readings_of(diary, person, period)), stream)


def _rows(readings: Iterable[Reading]) -> Iterator[ExportRow]:
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
        )
