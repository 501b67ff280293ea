"""Goal 5: readings from the store into numpy, beside bare sqlite3 reading the same columns."""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from pathlib import Path

import numpy as np

from app.store.columns import ROW, SELECT, columns_of
from tests.bench.measure import alternated, report
from tests.bench.readings import FIFTY_YEARS, filled_diary

_DAY = 86400


def main() -> int:
    """Measure 90 days and everything; goals 2 and 1.3 times the floor."""
    with tempfile.TemporaryDirectory() as folder:
        diary, person = filled_diary(Path(folder))
        bare = sqlite3.connect(diary.path)
        latest = int(columns_of(diary, person).instant[-1])
        since = latest - 90 * _DAY

        def floor(first: int) -> object:
            rows = bare.execute(SELECT, (person.id, first, latest + 1))
            return np.fromiter(rows, dtype=ROW)

        found = alternated(
            {
                "bare 90 days": lambda: floor(since),
                "90 days": lambda: columns_of(diary, person, since=since),
                "bare all": lambda: floor(0),
                "all": lambda: columns_of(diary, person),
            },
            rounds=15,
        )
        assert len(columns_of(diary, person)) == FIFTY_YEARS
        assert len(columns_of(diary, person, since=since)) > 700
        bare.close()
        diary.close()
    return not all(
        [
            report("90 days of 50 years into columns", found["90 days"], found["bare 90 days"], 2),
            report("all 50 years into columns", found["all"], found["bare all"], 1.3),
        ]
    )


if __name__ == "__main__":
    sys.exit(main())
