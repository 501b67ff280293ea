"""The low spells of a period, counted: how many were rechecked, and how many went far below."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from app.domain.clock import Period
from app.domain.levels import VERY_LOW_BELOW
from app.domain.reading import STANDINGS, Standing
from app.review.counted import counted_of
from app.review.parts import is_low
from app.review.record import Record
from app.statistics.spells import CHAIN_SECONDS, spell_ends

_COUNTED = STANDINGS.index(Standing.COUNTED)
_SET_ASIDE = STANDINGS.index(Standing.SET_ASIDE)


@dataclass(frozen=True, slots=True)
class LowSpells:
    """Spells that began in the period, of `n` readings.

    `rechecked` were closed by a reading that is not low · `open` began so lately that an hour has
    not passed · `not_rechecked` the rest · `very_low` have a reading far below · `in_doubt` begin
    with a reading in doubt: those stay in · `set_aside` low readings that were set aside.
    """

    n: int
    count: int
    rechecked: int
    open: int
    not_rechecked: int
    very_low: int
    in_doubt: int
    set_aside: int


def spells_of(record: Record, period: Period, *, now: datetime) -> LowSpells:
    """Count the low spells that began in a period of whole diary days, both ends included."""
    last = period.last.toordinal()
    # The recheck of a low late on the last day lies on the day after.
    columns = record.columns.between(period.first.toordinal(), last + 1)
    at = int(now.timestamp())
    counted, _ = counted_of(columns, record.person.unit, now=at)
    ends = spell_ends(counted.columns.instant, is_low(counted))
    here = counted.columns.day[ends.first] <= last
    is_open = (ends.last_low == counted.n - 1) & (
        at - counted.columns.instant[ends.last_low] <= CHAIN_SECONDS
    )
    far = ends.having(counted.ordered < counted.in_unit_entered(VERY_LOW_BELOW))
    aside = columns.where((columns.standing == _SET_ASIDE) & (columns.day <= last))
    as_counted = replace(aside, standing=np.full_like(aside.standing, _COUNTED))
    passed, _ = counted_of(as_counted, record.person.unit, now=at)
    return LowSpells(
        n=int(np.count_nonzero(counted.columns.day <= last)),
        count=int(np.count_nonzero(here)),
        rechecked=int(np.count_nonzero(here & ends.closed)),
        open=int(np.count_nonzero(here & is_open & ~ends.closed)),
        not_rechecked=int(np.count_nonzero(here & ~ends.closed & ~is_open)),
        very_low=int(np.count_nonzero(here & far)),
        in_doubt=int(np.count_nonzero(here & (counted.columns.doubt[ends.first] != 0))),
        set_aside=int(np.count_nonzero(is_low(passed))),
    )
