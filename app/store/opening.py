"""What is worth a word when a diary is opened: its place, its copies, its age, its readers.

None of it stops the opening. What does is an error, raised before (app/store/file.py).
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from uuid import UUID

from sqlalchemy import Connection

from app.store.places import Compared, compare, copies_beside, keep_private, network_kind
from app.store.seen import Seen, remember_told, seen_of

READ_ONLY = "read_only"
NOT_PRIVATE = "not_private"
MADE_PRIVATE = "made_private"
NETWORK = "network"
OLDER_COPY = "older_copy"
COPY_BESIDE = "copy_beside"

_MOST_COPIES = 3


@dataclass(frozen=True, slots=True)
class OpeningNote:
    """One thing worth knowing about a diary that was opened.

    `code` says which kind, `sentence` is shown as it is. `told_before` says that the very same
    sentence was told on this computer already: a command keeps quiet then, a window may go on
    showing it. `other` is a copy of the diary that has more than this one.
    """

    code: str
    sentence: str
    told_before: bool = False
    other: Path | None = None


@dataclass(frozen=True, slots=True)
class Identity:
    """Which diary it is, and how far its counters are: of all changes, and of those made here."""

    uid: UUID
    counter: int
    number: int


def identity_in(connection: Connection, installation: UUID) -> Identity | None:
    """The identity of an open diary; None while it is being made."""
    found = connection.exec_driver_sql(
        "SELECT uid, change_counter,"
        " ifnull((SELECT last_no FROM copy WHERE uid = ?), 0) FROM diary",
        (installation.bytes,),
    ).one_or_none()
    return Identity(UUID(bytes=found[0]), found[1], found[2]) if found else None


def look_around(
    path: Path,
    connection: Connection,
    installation: UUID,
    *,
    writable: bool,
    state: Path | None,
) -> tuple[OpeningNote, ...]:
    """Look at the surroundings of a diary just opened, and make it private.

    Parameters
    ----------
    state : Path, optional
        The state folder of the user; without it nothing is known of earlier times.

    Returns
    -------
    tuple of OpeningNote
        In the order in which they are to be told; empty where all is as it should be.
    """
    me = identity_in(connection, installation)
    found = [*_of_readers(path), *_of_disk(path, writable=writable)]
    if me is not None:
        seen = seen_of(state, me.uid) if state else Seen()
        found += [*_of_age(path, me, seen), *_of_copies(path, connection, me)]
    if me is None or state is None or not found:
        return tuple(found)
    told = remember_told(state, me.uid, tuple(f"{each.code} {each.sentence}" for each in found))
    again = (MADE_PRIVATE, OLDER_COPY)  # news each time: it happened once more
    return tuple(
        replace(note, told_before=before and note.code not in again)
        for note, before in zip(found, told, strict=True)
    )


def _of_readers(path: Path) -> Iterator[OpeningNote]:
    was, still = keep_private(path)
    if still:
        yield OpeningNote(
            NOT_PRIVATE,
            f"Other users of this computer can read {path}, and that could not be changed here. "
            "Nothing in it is lost; keep it in a folder of your own.",
        )
    elif was:
        yield OpeningNote(
            MADE_PRIVATE,
            f"Other users of this computer could read {path}. It is yours alone again; "
            "look who may have copied it.",
        )


def _of_disk(path: Path, *, writable: bool) -> Iterator[OpeningNote]:
    if not writable:
        yield OpeningNote(
            READ_ONLY,
            f"{path} can only be read here: everything is shown and nothing can be changed. "
            "To write in it, move it to a folder where you may write, or change its permissions.",
        )
    kind = network_kind(path)
    if kind:
        yield OpeningNote(
            NETWORK,
            f"{path} lies on a disk of another computer ({kind}), where two programs may write at "
            "once and spoil it. Keep the diary on this computer, and backups there.",
        )


def _of_age(path: Path, me: Identity, seen: Seen) -> Iterator[OpeningNote]:
    missing = max(seen.number - me.number, 0)
    if not missing and me.counter >= seen.counter:
        return
    lacks = _changes(missing or seen.counter - me.counter)
    yield OpeningNote(
        OLDER_COPY,
        f"{path} is older than the diary that was last open here: {lacks} made since "
        f"{'is' if lacks.startswith('1 ') else 'are'} not in it. It was left untouched; if a newer "
        "copy lies elsewhere, or in the backups, compare it with this one before you go on.",
    )


def _of_copies(path: Path, connection: Connection, me: Identity) -> Iterator[OpeningNote]:
    copies = copies_beside(path, me.uid)
    if not copies:
        return
    here = {row[0] for row in connection.exec_driver_sql("SELECT uid FROM journal_entry")}
    for each in copies[:_MOST_COPIES]:
        found = compare(here, each)
        news = each if found is not None and found.only_there else None
        yield OpeningNote(COPY_BESIDE, _copy_sentence(path, each, found), other=news)
    if len(copies) > _MOST_COPIES:
        yield OpeningNote(
            COPY_BESIDE,
            f"{len(copies) - _MOST_COPIES} more copies of this diary lie beside it. "
            "They were left untouched; keep those that you know in another folder.",
        )


def _copy_sentence(path: Path, other: Path, found: Compared | None) -> str:
    begin = f"Another copy of this diary lies beside it: {other.name}"
    if found is None:
        return f"{begin}. It can't be read now; both were left untouched."
    if not found.only_there:
        return (
            f"{begin}. Every change in it is in {path.name} too, so nothing is missing here; "
            "it was left untouched."
        )
    return (
        f"{begin}, with {_changes(found.only_there)} that {path.name} has not "
        f"({_changes(found.only_here)} only here). Both were left untouched; to see what bringing "
        f"them together would give: thimblebook --diary {_quoted(path)} together {_quoted(other)} "
        "--look"
    )


def _changes(count: int) -> str:
    return "1 change" if count == 1 else f"{count} changes"


def _quoted(path: Path) -> str:
    """A path as it is typed in a terminal."""
    if os.name == "nt":
        return f'"{path}"'
    from shlex import quote

    return quote(str(path))
