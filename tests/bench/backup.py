"""Goal 10: a backup of fifty years with its check, beside SQLite's own copy and quick_check.

The goal's floor looks at pages alone, so the copy is first measured with a look as deep as that
(and its digest, references and counts). The whole backup, whose check also compares each index with
its table and each row with its hash, stands beside a floor that has to do the same.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from contextlib import closing
from hashlib import blake2b
from itertools import count
from pathlib import Path

from app.store.backup import copy_into, make_backup
from app.store.backup_check import check_copy
from tests.bench.measure import alternated, report
from tests.bench.readings import NOW, filled_diary


def main() -> int:
    """Measure both; goal 1.3 times the floor."""
    with tempfile.TemporaryDirectory() as place:
        diary, _ = filled_diary(Path(place))
        names = (Path(place) / f"{number}.db" for number in count())

        def floor(check: str) -> Path:
            target = next(names)
            with closing(sqlite3.connect(diary.path)) as source:
                with closing(sqlite3.connect(target)) as copy:
                    source.backup(copy)
                with closing(sqlite3.connect(target)) as copy:
                    assert copy.execute(f"PRAGMA {check}").fetchall() == [("ok",)]
            return target

        def floor_of_all() -> None:
            target = floor("integrity_check")
            with closing(sqlite3.connect(target)) as copy:
                wrong = sum(
                    blake2b(ascii(row[:-1]).encode(), digest_size=8).digest() != row[-1]
                    for row in copy.execute("SELECT * FROM reading")
                )
            assert not wrong
            target.unlink()

        def quickly() -> None:
            target = next(names)
            copied = copy_into(diary, target)
            assert check_copy(target, rows=copied.rows, thorough=False).wrong == ()
            target.unlink()

        def whole() -> None:
            made = make_backup(diary, why="asked", now=NOW)
            assert made.readings == copied_readings
            made.path.unlink()

        copied_readings = copy_into(diary, next(names)).readings
        found = alternated(
            {
                "floor": lambda: floor("quick_check").unlink(),
                "quickly": quickly,
                "floor of all": floor_of_all,
                "whole": whole,
            },
            rounds=5,
        )
        diary.close()
    reached = report("copied and looked at", found["quickly"], found["floor"], 1.3)
    return not (
        report("backed up, every row checked", found["whole"], found["floor of all"], 1.3)
        and reached
    )


if __name__ == "__main__":
    sys.exit(main())
