"""Builds the diary of both households as careful families hold it: `python -m sample_db.build`.

True moments stand beside the raw stamps, control tests and other people's tests are set apart, and
the journal tells when what was written. What no table holds yet stays out: the memory order of
control tests, what was ruled about doubt, the number over which two keepers disagree (30 June
2026), the lab's A1C in its second unit, batteries and other events of the kit.
"""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from app.store.diary_file import create_diary, open_diary
from app.store.people import persons
from app.store.readings import count_of
from app.store.state_hash import state_hash
from sample_db import corwin_life, tilde_life
from sample_db.beginning import beginning
from sample_db.chapters import Chapter, write_chapters
from sample_db.days_written import day_chapters
from sample_db.household import Household
from sample_db.ids import uid_named
from sample_db.plans_written import plan_chapters
from sample_db.results_written import ketone_chapters
from sample_db.settings_written import setting_chapters
from sample_db.sittings import sittings
from sample_db.vials import vial_chapters

OUT = Path(__file__).parent / "households.thimblebook"
INSTALLATION = uid_named("installation")
BEGUN = datetime(2025, 8, 31, 18, 55, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Built:
    """What was written: the file, its size, its readings by person, its changes and its hash."""

    path: Path
    size: int
    readings: dict[str, int]
    changes: int
    state: str


def build(out: Path) -> Built:
    """Write the diary to `out`, in place of what lies there; the same content in every build.

    Whoever looks at `out` meanwhile sees the old file or the new one, never half of it.
    """
    homes = (tilde_life.household(), corwin_life.household())
    out.parent.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=out.parent, prefix=".households-") as folder:
        fresh = Path(folder) / out.name
        with create_diary(fresh, INSTALLATION, now=BEGUN) as diary:
            changes = write_chapters(
                diary, (chapter for home in homes for chapter in chapters_of(home))
            )
        with closing(sqlite3.connect(fresh, isolation_level=None)) as connection:
            connection.execute("VACUUM")
        with open_diary(fresh, INSTALLATION) as diary:
            readings = {each.name: count_of(diary, each) for each in persons(diary)}
            state = state_hash(diary)
        fresh.replace(out)
    return Built(out, out.stat().st_size, readings, changes, state)


def chapters_of(home: Household) -> Iterator[Chapter]:
    """Everything that a household wrote into its diary, not yet in order of time."""
    yield from beginning(home)
    yield from vial_chapters(home)
    yield from setting_chapters(home)
    yield from sittings(home)
    yield from ketone_chapters(home)
    yield from day_chapters(home)
    yield from plan_chapters(home)


def main(arguments: Sequence[str]) -> None:
    """Build to the path given, or beside this module, and say what was written."""
    built = build(Path(arguments[0]).absolute() if arguments else OUT)
    readings = ", ".join(f"{name} {count}" for name, count in built.readings.items())
    sys.stdout.write(
        f"{built.path}\n{built.size:,} bytes, {built.changes} changes; readings: {readings}\n"
        f"state {built.state}\n"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
