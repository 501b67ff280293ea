"""What is listed before anything is counted: readings far below, and help that was needed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from app.domain.clock import Period
from app.domain.levels import VERY_LOW_BELOW
from app.domain.reading import STANDINGS, Standing
from app.domain.written import Help
from app.review.counted import counted_of
from app.review.parts import is_low
from app.review.record import Record
from app.review.seen import Seen, seen_at
from app.statistics.spells import low_spells
from app.store.diary import Diary
from app.store.happenings import helps_between

_COUNTED = STANDINGS.index(Standing.COUNTED)
_NOT_MINE = STANDINGS.index(Standing.NOT_MINE)


@dataclass(frozen=True, slots=True)
class AtOnce:
    """A reading far below, which is listed before anything is counted, or help that was needed.

    `set_aside` readings and those in doubt are listed too; of help there may be no reading ·
    `recheck` whether the reading belongs to a low that began before it, `again` whether an earlier
    reading of that low is listed too.
    """

    reading: Seen | None
    help: Help | None
    set_aside: bool
    recheck: bool
    again: bool = False


def at_once(diary: Diary, record: Record, period: Period, now: datetime) -> tuple[AtOnce, ...]:
    """Readings far below and help that was needed in a period, the newest first.

    A single one is told at once: no count has to say that it repeats.
    """
    person = record.person
    here = record.between(period)
    mine = here.where(here.standing != _NOT_MINE)
    as_counted = replace(mine, standing=np.full_like(mine.standing, _COUNTED))
    counted, _ = counted_of(as_counted, person.unit, now=int(now.timestamp()))
    far = counted.ordered < counted.in_unit_entered(VERY_LOW_BELOW)
    spells = low_spells(counted.columns.instant, is_low(counted))
    recheck, spell = spells.recheck, np.cumsum(spells.begins)
    aside = set(mine.id[mine.standing != _COUNTED].tolist())
    columns = counted.columns
    helps = helps_between(diary, person, period.first.toordinal(), period.last.toordinal())
    by_reading = {each.reading_id: each for each in helps if each.reading_id is not None}
    found: list[tuple[int, AtOnce]] = []
    told: set[int] = set()
    lows: set[int] = set()
    for at in range(counted.n):
        row = int(columns.id[at])
        if far[at] or row in by_reading:
            told.add(row)
            reading = seen_at(columns, at, person.day_start)
            again = bool(recheck[at]) and int(spell[at]) in lows
            lows.add(int(spell[at]))
            shown = AtOnce(reading, by_reading.get(row), row in aside, bool(recheck[at]), again)
            found.append((int(columns.instant[at]), shown))
    found += [
        (each.at.instant, AtOnce(None, each, set_aside=False, recheck=False))
        for each in helps
        if each.reading_id not in told
    ]
    found.sort(key=lambda each: -each[0])
    return tuple(each for _, each in found)
