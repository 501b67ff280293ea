"""Where the names on the rail go: in lines above each other, none over another, none crossed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

MOST_LINES = 5

_Above = dict[int, set[int]]  # for each name those that it has to lie above


@dataclass(frozen=True, slots=True)
class Wanted:
    """A name and the px of its stem; an `important` one is the last to go where room is short."""

    x: float
    text: str
    important: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """A name from `left` to `right` in a line (0 is the lowest), with its stem at `x`.

    `line` is None where there was no room: the mark stands without its name.
    """

    x: float
    text: str
    left: float
    right: float
    line: int | None


def placed(
    wanted: Sequence[Wanted],
    width_of: Callable[[str], float],
    shortened: Callable[[str, float], str],
    ends: tuple[float, float],
    *,
    most: float,
    least: float,
    gap: float,
) -> tuple[Placed, ...]:
    """Place each name beside its stem.

    A name stands right of its stem, near the right end left of it. A stem runs down from its name,
    so no name may lie below another one's in the way of its stem.

    Parameters
    ----------
    wanted : sequence of Wanted
        From left to right.
    width_of, shortened : callables
        The px of a text, and a text cut to some px.
    ends : (float, float)
        The px between which names may stand.
    most, least : float
        A name wider than `most` is shortened; where `least` can't be had, there is no name.
    gap : float
        Px between a stem and its name, and between names in one line.
    """
    found: list[Placed] = []
    for each in reversed(wanted):
        full = width_of(each.text)
        left, right = _span(each.x, min(full, most), ends, found, least=least, gap=gap)
        if right - left < min(full, least):
            found.append(Placed(each.x, each.text, each.x, each.x, None))
        else:
            found.append(Placed(each.x, shortened(each.text, right - left), left, right, 0))
    found.reverse()
    return tuple(_in_lines(found, [each.important for each in wanted], gap))


def _span(
    x: float,
    wide: float,
    ends: tuple[float, float],
    found: Sequence[Placed],
    *,
    least: float,
    gap: float,
) -> tuple[float, float]:
    """From where to where a name goes, beside those that stand further right."""
    left, right = x + gap, x + gap + wide
    if right <= ends[1] and not any(_facing(x, right + gap, other, gap) for other in found):
        return left, right
    room = x - gap - ends[0]
    if right > ends[1] and ends[1] - left >= min(wide, least) and ends[1] - left > room:
        return left, ends[1]
    return x - gap - min(wide, room), x - gap


def _facing(x: float, right: float, other: Placed, gap: float) -> bool:
    """Whether a name right of its stem and one left of its own would each cross the other's."""
    is_left = other.line is not None and other.right < other.x
    return is_left and other.x <= right and x >= other.left - gap


def _in_lines(found: list[Placed], important: Sequence[bool], gap: float) -> list[Placed]:
    """Give each name a line; names go, those that are in the way of most first, until all fit."""
    kept = [at for at, each in enumerate(found) if each.line is not None]
    above = {
        at: {other for other in kept if other != at and _lies_above(found, at, other, gap)}
        for at in kept
    }
    while (lines := _lines(kept, above)) is None:
        in_the_way = {
            at: len(above[at] & set(kept)) + sum(at in above[other] for other in kept)
            for at in kept
        }
        kept.remove(max(kept, key=lambda at: (not important[at], in_the_way[at], -at)))
    return [replace(each, line=lines.get(at)) for at, each in enumerate(found)]


def _lies_above(found: Sequence[Placed], at: int, beside: int, gap: float) -> bool:
    """Whether one name has to lie above another.

    The one that covers the other's stem is the upper of the two; of two on one stem, or that only
    meet in a line, it is the earlier.
    """
    one, other = found[at], found[beside]
    if one.x == other.x:
        return at < beside
    if one.left - gap <= other.x <= one.right + gap:
        return True
    covered = other.left - gap <= one.x <= other.right + gap
    meet = one.left - gap < other.right and other.left < one.right + gap
    return at < beside and meet and not covered


def _lines(kept: Sequence[int], above: _Above) -> dict[int, int] | None:
    """The lowest line for each name; None where that takes more lines than there are."""
    lines = dict.fromkeys(kept, 0)
    moved = True
    while moved:
        moved = False
        for at in kept:
            wanted = 1 + max((lines[other] for other in above[at] if other in lines), default=-1)
            if wanted > lines[at]:
                lines[at], moved = wanted, True
                if wanted >= MOST_LINES:
                    return None
    return lines
