"""Notes that are kept for one copy of a diary alone: they stay where they are."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

_PRIVATE = """
    SELECT n.uid, c.uid, n.deleted_at IS NULL FROM note n JOIN copy c ON c.id = n.private_copy
"""


@dataclass(frozen=True, slots=True)
class PrivateNotes:
    """Uids of private notes: what the other copy keeps to itself, what is kept for this one."""

    theirs: frozenset[bytes]
    theirs_live: frozenset[bytes]
    ours: frozenset[bytes]


def private_notes(
    here: sqlite3.Connection, there: sqlite3.Connection, installation: bytes
) -> PrivateNotes:
    """Find the private notes of two copies.

    A note for this installation alone that is found in the other copy is this one's own: it came
    there with a copy of the file, and comes back where it was lost here.
    """
    found = there.execute(_PRIVATE).fetchall()
    return PrivateNotes(
        theirs=frozenset(uid for uid, copy, _ in found if copy != installation),
        theirs_live=frozenset(uid for uid, copy, live in found if live and copy != installation),
        ours=frozenset(uid for uid, copy, _ in here.execute(_PRIVATE) if copy == installation),
    )
