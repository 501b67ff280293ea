"""How far a failed control test reaches back, and what a later pass offers to narrow it to.

A fail puts in doubt every reading on its meter since that meter last passed with any vial, and
every reading with its vial since that vial last passed on any meter; each side ends with the next
pass on that side. Which of the two is to blame is the person's word (a rule of this diary; that a
failed test calls earlier results in question is common practice).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.domain.control import Judged, Verdict
from app.domain.kit import Kit, Narrowed

METER, VIAL, KEEP = "meter", "vial", "keep"
SIDES = (METER, VIAL)
EVER, NEVER = -1, 1 << 62  # no pass before, no pass after


@dataclass(frozen=True, slots=True)
class Stretch:
    """Readings of one meter, or with one vial, strictly between two instants (UTC seconds).

    `side` says whether `of` is the local id of a meter or of a vial.
    """

    side: str
    of: int
    after: int
    before: int


@dataclass(frozen=True, slots=True)
class Offer:
    """What the doubt could be narrowed to, and the pass that gives the reason."""

    side: str
    passed: Judged


@dataclass(frozen=True, slots=True)
class Failed:
    """A failed control test: its stretches, those in force, the offers, and the person's word.

    `word` is vial, meter or keep; None where nothing was said, or where the pass that gave the
    reason for it is none any more.
    """

    judged: Judged
    stretches: tuple[Stretch, ...]
    in_force: tuple[Stretch, ...]
    offers: tuple[Offer, ...]
    word: str | None = None


class Passes:
    """The instants of passed tests, of each meter and with each vial."""

    def __init__(self, judged: Iterable[Judged]) -> None:
        found: dict[tuple[str, int], list[int]] = defaultdict(list)
        for each in judged:
            if each.verdict is Verdict.PASSED:
                found[METER, each.test.meter].append(each.at)
                if each.vial is not None:
                    found[VIAL, each.vial].append(each.at)
        self._at = {key: sorted(times) for key, times in found.items()}

    def around(self, side: str, of: int, at: int) -> tuple[int, int]:
        """The last pass before an instant and the first one after it."""
        times = self._at.get((side, of), [])
        before, after = bisect_left(times, at), bisect_right(times, at)
        return (
            times[before - 1] if before else EVER,
            times[after] if after < len(times) else NEVER,
        )


def failed_tests(kit: Kit, judged: Sequence[Judged]) -> tuple[Failed, ...]:
    """Every failed control test with how far it reaches; the order of `judged` does not matter."""
    passes, words = Passes(judged), {each.test: each for each in kit.narrowed}
    fails = sorted(
        (each for each in judged if each.verdict is Verdict.FAILED),
        key=lambda each: (each.at, each.test.id),
    )
    passed = sorted(
        (each for each in judged if each.verdict is Verdict.PASSED),
        key=lambda each: (each.at, each.test.id),
    )
    return tuple(_failed(each, passes, passed, words.get(each.test.uid)) for each in fails)


def heat_stretches(kit: Kit, judged: Sequence[Judged]) -> tuple[Stretch, ...]:
    """Readings since a vial or a meter lay in heat or cold, up to its next pass."""
    passes = Passes(judged)
    found = []
    for event in kit.events:
        if event.kind == "heat":
            for side, of in ((VIAL, event.vial), (METER, event.meter)):
                if of is not None:
                    _, end = passes.around(side, of, event.at)
                    found.append(Stretch(side, of, event.at - 1, end))
    return tuple(dict.fromkeys(found))


def _failed(
    fail: Judged, passes: Passes, passed: Sequence[Judged], said: Narrowed | None
) -> Failed:
    sides = [(METER, fail.test.meter)]
    if fail.vial is not None:
        sides.append((VIAL, fail.vial))
    stretches = tuple(Stretch(side, of, *passes.around(side, of, fail.at)) for side, of in sides)
    reasons = [(side, each) for each in passed if each.at > fail.at for side in _clears(fail, each)]
    offers = tuple(
        Offer(side, next(each for name, each in reasons if name == side))
        for side in SIDES
        if any(name == side for name, _ in reasons)
    )
    word = None
    if said is not None:
        has_reason = any((said.verdict, said.passed) == (s, p.test.uid) for s, p in reasons)
        word = said.verdict if said.verdict == KEEP or has_reason else None
    in_force = stretches if word in (None, KEEP) else tuple(s for s in stretches if s.side == word)
    return Failed(fail, stretches, in_force, offers, word)


def _clears(fail: Judged, passed: Judged) -> Iterable[str]:
    """What a later pass leaves to blame: the meter with another vial passed, or the vial did."""
    if fail.vial is None or passed.vial is None:
        return
    if passed.test.meter == fail.test.meter and passed.vial != fail.vial:
        yield VIAL
    if passed.vial == fail.vial and passed.test.meter != fail.test.meter:
        yield METER
