"""The marks on the rail of a year: what is of the same days is one of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from app.review.year import YearMark
from app.ui.words import joined


def joined_by_days(marks: Sequence[YearMark]) -> tuple[YearMark, ...]:
    """What is of the same days as one mark: "visit · A1C 7.9 %"; a change stands alone."""
    found: list[YearMark] = []
    for mark in marks:
        days = mark.start, mark.end
        place = next(
            (
                at
                for at, each in enumerate(found)
                if (each.start, each.end) == days and each.change is mark.change is None
            ),
            None,
        )
        if place is None:
            found.append(mark)
            continue
        words = joined((found[place].other.words, mark.other.words))
        found[place] = replace(found[place], other=replace(found[place].other, words=words))
    return tuple(sorted(found, key=lambda mark: mark.start))
