"""The running order of a meter's records, kept over copies of its memory that overlap."""

from __future__ import annotations

from collections.abc import Sequence


def places_in_memory(
    known: Sequence[int | None], *, first: int | None, last: int | None, older: bool
) -> list[int]:
    """Where the records of one copy stand among all that the meter is known to have held.

    A number once given stays. Records before the first known one go in front, those after the last
    one behind. In between, a record takes the next number before that of the next known one, which
    was kept for a row that was held; where there is none it shares the number of the one before it
    (rows that come later into the diary stand behind it).

    Parameters
    ----------
    known : sequence of int or None, length n
        For each record of the copy, the oldest first, its number from an earlier copy.
    first, last : int or None
        The lowest and the highest number given to that meter's records so far.
    older : bool
        Whether a copy that shares no record with earlier ones is older than all of them.

    Returns
    -------
    list of int
        A number for each record; never falling where the known ones never fall.

    Examples
    --------
    >>> places_in_memory([None, 7, 8, None, None], first=1, last=8, older=False)
    [6, 7, 8, 9, 10]
    >>> places_in_memory([1, None, None, 4], first=1, last=4, older=False)
    [1, 2, 3, 4]
    >>> places_in_memory([None, None], first=1, last=8, older=True)
    [-1, 0]
    """
    met = [place for place, number in enumerate(known) if number is not None]
    if not met or first is None or last is None:
        start = 1 if first is None or last is None else first - len(known) if older else last + 1
        return [start + more for more in range(len(known))]
    found: list[int] = []
    earliest = known[met[0]] or 0
    following = _next_known(known)
    for place, number in enumerate(known):
        if number is not None:
            found.append(number)
        elif place < met[0]:
            found.append(earliest - met[0] + place if earliest == first else earliest - 1)
        elif place > met[-1] and (known[met[-1]] or 0) == last:
            found.append(found[-1] + 1)
        else:
            after = following[place]
            free = found[-1] if after is None else after - 1
            found.append(max(found[-1], min(found[-1] + 1, free)))
    return found


def _next_known(known: Sequence[int | None]) -> list[int | None]:
    """For each record the next known number at or after it, None where none comes any more."""
    found: list[int | None] = []
    after: int | None = None
    for number in reversed(known):
        after = after if number is None else number
        found.append(after)
    return found[::-1]
