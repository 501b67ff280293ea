"""Quiet hints about what was written by hand: for the person alone, on no page for others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.person import Person
from app.review.rounding import Rounding, rounding_of
from app.statistics.memory_cover import joined_covers, without_counterpart
from app.store.diary import Diary
from app.store.memory_cover import MemoryCover, WrittenByHand, memory_cover
from app.store.typed_values import typed_values

NOT_IN_MEMORY = "not in the meter's memory"
ADDED_LATER = "added later"
FOR_YOU_ALONE = "For you alone: this is on no page for the clinic."


@dataclass(frozen=True, slots=True)
class Hints:
    """What could be looked at again; none of it says why.

    `written` results in all by hand, `covered` of them in the time of a copied memory ·
    `not_in_memory` those without a record within five minutes · `later` those typed more than two
    hours after their time.
    """

    person: Person
    written: int
    covered: int
    not_in_memory: tuple[WrittenByHand, ...]
    later: tuple[WrittenByHand, ...]
    rounding: Rounding


def hints_of(diary: Diary, person: Person) -> Hints:
    """Gather the hints.

    A result whose meter was not said is only told as missing where every meter that was ever
    copied covers its time: else it may be in the one that does not.
    """
    found = memory_cover(diary, person)
    covers = {meter: joined_covers(copies) for meter, copies in found.copies.items()}
    covered, missing = _looked_up(found, covers)
    return Hints(
        person=person,
        written=len(found.written),
        covered=int(np.count_nonzero(covered)),
        not_in_memory=_chosen(found.written, missing),
        later=tuple(each for each in found.written if each.later),
        rounding=rounding_of(person, typed_values(diary, person)),
    )


def _looked_up(
    found: MemoryCover, covers: dict[int, list[tuple[int, int]]]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    at = np.array([each.instant for each in found.written], dtype=np.int64)
    of = np.array([each.meter or 0 for each in found.written], dtype=np.int64)
    inside = {
        meter: np.any([(at >= first) & (at <= last) for first, last in stretches], axis=0)
        for meter, stretches in covers.items()
    }
    missing = {
        meter: without_counterpart(at, found.memory.get(meter, ()), stretches)
        for meter, stretches in covers.items()
    }
    covered, lost = np.zeros(at.size, dtype=np.bool_), np.zeros(at.size, dtype=np.bool_)
    for meter in covers:
        covered |= (of == meter) & inside[meter]
        lost |= (of == meter) & missing[meter]
    if covers:
        unsaid = of == 0
        covered |= unsaid & np.all(list(inside.values()), axis=0)
        lost |= unsaid & np.all(list(missing.values()), axis=0)
    return covered, lost


def _chosen(
    written: Sequence[WrittenByHand], chosen: NDArray[np.bool_]
) -> tuple[WrittenByHand, ...]:
    return tuple(each for each, is_in in zip(written, chosen.tolist(), strict=True) if is_in)
