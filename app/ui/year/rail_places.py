"""Where the names on the rail go: in lines above each other, none over another, none crossed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

MOST_LINES = 5


@dataclass(frozen=True, slots=True)
class Wanted:
    """A name and the px of its stem."""

    x: float
    text: str


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
        wide = min(width_of(each.text), most)
        left, right = each.x + gap, each.x + gap + wide
        if right > ends[1] or any(_facing(each.x, right + gap, other, gap) for other in found):
            room = each.x - gap - ends[0]
            if ends[1] - left >= min(wide, least) and ends[1] - left > room:
                right = ends[1]
            else:
                wide = min(wide, room)
                left, right = each.x - gap - wide, each.x - gap
        if right - left < min(width_of(each.text), least):
            found.append(Placed(each.x, each.text, each.x, each.x, None))
            continue
        text = shortened(each.text, right - left)
        found.append(Placed(each.x, text, left, right, 0))
    return tuple(_in_lines(list(reversed(found)), gap))


def _facing(x: float, right: float, other: Placed, gap: float) -> bool:
    """Whether a name right of its stem and one left of its own would each cross the other's."""
    is_left = other.line is not None and other.right < other.x
    return is_left and other.x <= right and x >= other.left - gap


def _in_lines(found: list[Placed], gap: float) -> list[Placed]:
    """Lift names until none lies over another and no stem crosses one; too high ones go."""
    for _ in range(MOST_LINES * len(found) + 1):
        lifted = False
        for at in range(len(found)):
            for beside in range(len(found)):
                one, other = found[at], found[beside]
                if at == beside or one.line is None or other.line is None:
                    continue
                if one.line > other.line or not _has_to_be_above(one, other, gap, at < beside):
                    continue
                line = other.line + 1
                found[at] = replace(one, line=line if line < MOST_LINES else None)
                lifted = True
        if not lifted:
            return found
    return [replace(each, line=None) for each in found]


def _has_to_be_above(one: Placed, other: Placed, gap: float, earlier: bool) -> bool:
    """Whether one name has to lie above another that is as high or higher.

    The one that covers the other's stem is the upper of the two; of two on one stem, or that only
    meet in a line, it is the earlier.
    """
    if one.x == other.x:
        return earlier
    if one.left - gap <= other.x <= one.right + gap:
        return True
    covered = other.left - gap <= one.x <= other.right + gap
    return earlier and not covered and one.line == other.line and _meet(one, other, gap)


def _meet(one: Placed, other: Placed, gap: float) -> bool:
    return one.left - gap < other.right and other.left < one.right + gap
