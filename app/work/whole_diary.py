"""The whole diary leaves as JSON Lines or as one SQLite file, and comes back into an empty one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import BinaryIO
from uuid import UUID

from app.domain.errors import Damaged, Refused
from app.domain.steps import Step, Steps
from app.exchange.json_lines import Header, Lines, read_lines, refused_line, write_lines
from app.store.compact import compact_copy
from app.store.diary import Diary
from app.store.diary_file import begun_at, open_diary
from app.store.file import SCHEMA_VERSION
from app.store.state_hash import state_of
from app.store.whole import whole
from app.store.whole_in import BringingIn, is_empty, is_empty_seen_by
from app.work.send_out import sent_file

KIND = "whole_diary"


@dataclass(frozen=True, slots=True)
class WholeSent:
    """What a whole diary holds as it leaves: who is in it, and how many rows by table."""

    persons: tuple[str, ...]
    rows: dict[str, int]

    @property
    def count(self) -> int:
        """How many rows in all."""
        return sum(self.rows.values())


def whole_summary(diary: Diary) -> WholeSent:
    """Say what would leave; nothing is written."""
    with whole(diary) as found:
        return WholeSent(found.persons, found.rows)


def export_lines(diary: Diary, out: Path, *, now: datetime, replace: bool = False,
                 step: Step | None = None) -> WholeSent:  # fmt: skip
    """Write the whole diary as JSON Lines into a file for this user alone.

    `step` is told how far it has come; what it raises leaves no file behind.

    Raises
    ------
    Refused
        Something lies at `out` already and is not to be replaced, or it is the diary itself.
    StoreUnavailable
        The file can't be written there, or the diary is damaged.
    """
    _must_be_sound(diary)
    with sent_file(diary, out, replace=replace) as fresh, fresh.open("wb") as stream:
        return write_whole(diary, stream, now=now, step=step)


def lines_of(diary: Diary, *, now: datetime) -> bytes:
    """The whole diary as JSON Lines."""
    _must_be_sound(diary)
    stream = BytesIO()
    write_whole(diary, stream, now=now)
    return stream.getvalue()


def write_whole(diary: Diary, stream: BinaryIO, *, now: datetime,
                step: Step | None = None) -> WholeSent:  # fmt: skip
    """Write the whole diary as JSON Lines to an open stream."""
    with whole(diary, step) as found:
        header = Header(
            schema=found.version,
            made_at=f"{now.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}",
            rows=found.rows,
            state=found.state(),
        )
        write_lines(stream, header, found.each())
        return WholeSent(found.persons, found.rows)


def export_sqlite(diary: Diary, out: Path, *, replace: bool = False,
                  step: Step | None = None) -> WholeSent:  # fmt: skip
    """Write the whole diary, its journal too, as one checked SQLite file for this user alone.

    `step` is told how far the copy has come; what it raises leaves no file behind.

    Raises
    ------
    Refused
        Something lies at `out` already and is not to be replaced, or it is the diary itself.
    StoreUnavailable
        The file can't be written there, or what was written did not pass the full check.
    """
    _must_be_sound(diary)
    with sent_file(diary, out, replace=replace) as fresh:
        compact_copy(diary, fresh, step=step)
        return whole_summary(diary)


def read_whole(data: bytes) -> Lines:
    """Look at a file of JSON Lines as a whole; `DiaryError` says in one sentence what is wrong."""
    return read_lines(data, schema=SCHEMA_VERSION)


def bring_whole(diary: Diary, lines: Lines, *, name: str, now: datetime,
                step: Step | None = None) -> int:  # fmt: skip
    """Bring a whole diary into an empty one: all of it or nothing; returns how many rows.

    `step` is told how far it has come; what it raises takes everything back.

    Raises
    ------
    Refused
        The diary is not empty, a line is no row, or what came of it is not what was exported.
    """
    must_take(diary)
    with diary.change(KIND, {"file": name}, now=now) as change:
        if not is_empty_seen_by(change.connection):
            raise _not_empty(diary)
        bringing, count = BringingIn(change), 0
        steps = Steps(step, 2 * sum(lines.header.rows.values()))
        for count, (table, said) in enumerate(steps.through(lines.rows()), 1):
            try:
                bringing.row(table, said)
            except Refused as problem:
                raise refused_line(count + 1, str(problem).rstrip(".")) from problem
        # Of an older schema the hash was taken over other columns.
        if lines.header.schema == SCHEMA_VERSION and (
            state_of(change.connection, steps) != lines.header.state
        ):
            raise Refused(
                "What was brought in is not what was exported. Nothing of it was kept; "
                "export the diary once more."
            )
        change.says({"file": name, "rows": count})
    return count


def must_take(diary: Diary) -> None:
    """See that a diary may take a whole one in.

    Raises
    ------
    Refused
        Something is written in it, be it in the bin.
    """
    if not is_empty(diary):
        raise _not_empty(diary)


def bring_whole_anew(path: Path, installation: UUID, lines: Lines, *, name: str, now: datetime,
                     state: Path | None = None, step: Step | None = None) -> int:  # fmt: skip
    """Make a new diary at `path` that holds a whole diary; nothing lies there where it fails."""
    with begun_at(path, installation, now=now) as diary:
        count = bring_whole(diary, lines, name=name, now=now, step=step)
    open_diary(path, installation, state=state).close()
    return count


def _not_empty(diary: Diary) -> Refused:
    return Refused(
        f"{diary.path} is not empty, and a whole diary comes into an empty one alone. Nothing was "
        "changed; name a new file: thimblebook --diary NEW.thimblebook import FILE"
    )


def _must_be_sound(diary: Diary) -> None:
    if diary.damaged:
        raise Damaged(
            "The diary is damaged, so nothing of it left as a whole. It is as it was; "
            "save what can be read with: thimblebook salvage"
        )
