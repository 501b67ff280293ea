"""Memories of meters for tests: short ones by hand, and those of both invented households."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from app.domain.clock import moment_at, offsets_of
from app.domain.stamped import Stamped
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.review.clocks import Clocks
from app.store.diary import Diary
from app.work.bring_in import File, bring_in
from sample_db.files import FOLDER, copyings, form_of, memory_file
from sample_db.household import Household
from sample_db.memory import copied, memory_rows
from sample_db.records import ControlTest, Result, Trace
from tests.households import corwin as add_corwin
from tests.households import new_diary
from tests.households import tilde as add_tilde

ZONE = "Europe/Lisbon"
COPIED = int(datetime(2026, 12, 1, tzinfo=UTC).timestamp())

# Meter, what it showed, value, and the true wall time with its zone and instant.
Told = tuple[str, str, str, str, str, int]


def a_wall(text: str) -> datetime:
    """A naive wall time from ISO text."""
    return datetime.fromisoformat(text)


def record(
    number: int,
    shown: str,
    mark: str = "none",
    *,
    dated: bool = True,
    free: bool = True,
    entered_at: int = COPIED,
) -> Stamped:
    """A record of a memory that the diary holds as it was stamped, in Lisbon."""
    wall = datetime.fromisoformat(shown)
    instant = moment_at(wall, ZONE, offsets_of(wall, ZONE)[0]).instant
    return Stamped(
        id=number,
        order=number,
        shown=wall,
        instant=instant if dated else None,
        wall=wall if dated else None,
        zone=ZONE,
        mark=mark,
        entered_at=entered_at,
        free=free,
    )


def memory(walls: Iterable[str | tuple[str, str]]) -> list[Stamped]:
    """Records in the order of a memory, each by its stamp or by stamp and mark."""
    return [
        record(number, *((each,) if isinstance(each, str) else each))
        for number, each in enumerate(walls, 1)
    ]


def days_of(first: str, days: int, times: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """Stamps with marks, the same times on so many days."""
    begin, kept = datetime.fromisoformat(first), list(times)
    return [
        (f"{begin + timedelta(days=day):%Y-%m-%d}T{time}", mark)
        for day in range(days)
        for time, mark in kept
    ]


def brought_in(folder: Path, home: Household) -> tuple[Diary, str]:
    """A new diary with every copy of the household's meters, each brought in when it was made."""
    diary = new_diary(folder)
    person = add_tilde(diary) if home.wishes.name == "Tilde" else add_corwin(diary)
    for copying in copyings(home):
        name, text = memory_file(copying, copied(home, memory_rows(home, copying.meter), copying))
        assert (FOLDER / name).read_bytes() == text.encode()
        recipe = form_of(copying.meter).recipe
        spec = (FOLDER / f"{recipe}.toml").read_text(encoding="utf-8")
        read = read_table(text.encode(), read_recipe(spec, where=recipe))
        bring_in(
            diary,
            person,
            File(name, text.encode(), read, copying.meter),
            now=datetime.fromtimestamp(copying.at.instant, UTC),
            recipe=None,
        )
    return diary, person.name


def truth_of(home: Household) -> Counter[Told]:
    """What each record in the household's copies truly was; those not flagged as control too."""
    records: list[Result | ControlTest] = [
        *(each for each in home.results if each.trace is Trace.METER),
        *(each for each in home.controls if not each.flagged),
    ]
    return Counter(
        (
            str(each.meter),
            str(each.stamp.wall),
            str(each.stamp.value),
            each.moment.wall,
            each.moment.zone,
            each.moment.instant,
        )
        for each in records
    )


def held_in(clocks: Clocks) -> Counter[Told]:
    """What the diary holds of each record of a memory; undated ones have no true time."""
    return Counter(
        (
            each.meter.name,
            record.shown.isoformat(timespec="minutes") if record.shown else "",
            record.value.partition(" ")[0],
            record.held.wall if record.held else "",
            record.held.zone if record.held else "",
            record.held.instant if record.held else 0,
        )
        for each in clocks.memories
        for record in each.records
    )
