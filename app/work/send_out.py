"""Readings leave the diary as a file that nobody else on this computer can read."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TextIO
from uuid import uuid4

from app.domain.clock import Period
from app.domain.errors import Refused, StoreUnavailable
from app.domain.person import Person
from app.domain.steps import Step, Steps
from app.exchange.csv_export import COLUMNS, write_readings_csv
from app.store.diary import Diary
from app.store.durable import private_file, remove_with_company, sync_file, sync_folder
from app.store.readings import readings_of
from app.work.csv_rows import CsvHolds, Part, holds, rows_of
from app.work.source_rows import source_rows

_CALENDAR = b"BEGIN:VCALENDAR"


def export_csv(
    diary: Diary,
    person: Person,
    out: Path,
    *,
    period: Period | None = None,
    without: Collection[Part] = (),
    replace: bool = False,
    step: Step | None = None,
) -> int:
    """Write a person's readings as CSV; returns how many.

    Parameters
    ----------
    period : Period, optional
        Both its days included; without it all of them, and the readings without a time.
    without : collection of Part
        What stays behind.
    replace : bool, default False
        Write over what lies at `out`.
    step : callable, optional
        Told how many rows are written; what it raises leaves `out` as it was.

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
        lambda stream: write_csv(diary, person, stream, period=period, without=without, step=step),
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
    must_be_free(diary, out, replace=replace)
    with _in_place_of(out) as fresh:
        yield fresh


def must_be_free(diary: Diary, out: Path, *, replace: bool) -> None:
    """See that a file may be written at `out`.

    Raises
    ------
    Refused
        Something lies there already and is not to be replaced, or it is the diary itself.
    """
    if not out.name:
        raise Refused(f"{out} is no file that can be written; name one. The diary is as it was.")
    if out.exists() and out.samefile(diary.path):
        raise Refused(f"{out} is the diary itself; it was left as it is. Name another file.")
    if out.exists() and not replace:
        raise Refused(f"Something lies at {out} already; it was left as it is. Say --replace.")


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


def write_csv(
    diary: Diary,
    person: Person,
    stream: TextIO,
    *,
    period: Period | None = None,
    without: Collection[Part] = (),
    step: Step | None = None,
) -> int:
    """Write a person's readings as CSV to an open text stream; returns how many."""
    readings = readings_of(diary, person, period)
    steps = Steps(step, len(readings))
    sources = {} if Part.SOURCE in without else source_rows(diary, person, readings)
    return write_readings_csv(steps.through(rows_of(readings, sources, without)), stream)


def csv_holds(diary: Diary, person: Person, period: Period | None) -> CsvHolds:
    """What a CSV would hold, in numbers, before it is written."""
    return holds(person, period, readings_of(diary, person, period))


def summary(
    diary: Diary, person: Person, period: Period | None, without: Collection[Part] = ()
) -> tuple[str, ...]:
    """What a CSV file would hold, in lines, before it is written: whose, of when, what."""
    found = csv_holds(diary, person, period)
    spread = f", from {found.first} to {found.last}" if found.first else ""
    parts = {
        "with a note": (found.notes, Part.NOTES),
        "with tags": (found.tags, Part.TAGS),
        "with the name of who wrote it": (sum(found.keepers.values()), Part.KEEPERS),
        "in doubt": (found.doubt, None),
        "not counted": (found.not_counted, None),
        "without a time": (found.undated, None),
    }
    listed = ", ".join(
        f"{count} {what}" for what, (count, part) in parts.items() if part not in without
    )
    behind = ", ".join(part for part in Part if part in without)
    return (
        f"Person: {person.name}.",
        f"Period: {_days(period)}.",
        f"Rows: {found.readings}{spread}.",
        f"Of these {listed}.",
        *((f"Stays behind: {behind}.",) if behind else ()),
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
