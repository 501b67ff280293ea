"""Goal 8: one reading saved for good, beside a bare commit of one row in the same journal mode."""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from pathlib import Path

from app.store.columns import columns_of
from app.work.enter import enter, understand
from tests.bench.measure import alternated, report
from tests.bench.readings import NOW, filled_diary

_INSERT = (
    "INSERT INTO reading (uid, born, rev, person_id, value, unit, mg_dl, instant, wall, zone,"
    " offset_min, day, minute, origin, entered_at, time_from)"
    " VALUES (randomblob(16), 1, 1, 1, '5.6', 'mmol/L', 100.9, 1773351000, '2026-03-12T21:30',"
    " 'UTC', 0, 739687, 1290, 'typed', 0, 'now')"
)
ROUNDS = 201


def main() -> int:
    """Measure the save of an understood line; goal 2 times the bare commit."""
    with tempfile.TemporaryDirectory() as folder:
        other = Path(folder) / "bare"
        other.mkdir()
        diary, person = filled_diary(Path(folder), 20_000)
        beside, _ = filled_diary(other, 20_000)
        bare = sqlite3.connect(beside.path, isolation_level=None)
        bare.execute("PRAGMA journal_mode = DELETE")
        bare.execute("PRAGMA synchronous = EXTRA")
        bare.execute("PRAGMA secure_delete = ON")
        entry = understand(diary, person, "5.6 before lunch", now=NOW)

        def commit() -> None:
            bare.execute("BEGIN IMMEDIATE")
            bare.execute(_INSERT)
            bare.execute("COMMIT")

        before = len(columns_of(diary, person))
        found = alternated(
            {"bare": commit, "saved": lambda: enter(diary, person, entry, now=NOW)}, rounds=ROUNDS
        )
        assert len(columns_of(diary, person)) == before + ROUNDS + 1
        bare.close()
        beside.close()
        diary.close()
    return not report("one reading saved", found["saved"], found["bare"], 2)


if __name__ == "__main__":
    sys.exit(main())
