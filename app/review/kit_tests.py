"""Control tests as they are listed and drawn, and what each failed one puts in doubt."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.control import Judged, Step, Verdict, steps_after
from app.domain.control_doubt import METER, Failed, Stretch, failed_tests
from app.domain.kit import Kit
from app.store.columns import Columns


@dataclass(frozen=True, slots=True)
class TestLine:
    """A control test with the names of its meter, vial and solution; `first` of its vial."""

    judged: Judged
    meter: str
    vial: str | None
    solution: str | None
    first: bool
    in_doubt: int  # readings that a failed one puts in doubt


@dataclass(frozen=True, slots=True)
class NarrowTo:
    """What the doubt could be narrowed to.

    `side` vial or meter, called `name` · `passed` the test that gives the reason, with
    `passed_with` the other vial or meter · `stay` readings would stay in doubt, `released` not.
    """

    side: str
    name: str
    passed: Judged
    passed_with: str
    stay: int
    released: int


@dataclass(frozen=True, slots=True)
class FailLine:
    """A failed control test: what it puts in doubt, what that can be narrowed to, what to do.

    `in_doubt` readings now, `all_sides` without the person's word · `since` the last pass before it
    (UTC seconds), None where there was none · `ids` of the readings in doubt, for a list ·
    `passed_since` whether its meter passed again.
    """

    failed: Failed
    meter: str
    vial: str | None
    in_doubt: int
    all_sides: int
    since: int | None
    ids: tuple[int, ...]
    offers: tuple[NarrowTo, ...]
    steps: tuple[Step, ...]
    passed_since: bool

    @property
    def waits(self) -> bool:
        """Whether there is an offer that the person has said nothing to."""
        return bool(self.offers) and self.failed.word is None


def fail_lines(kit: Kit, judged: tuple[Judged, ...], columns: Columns) -> tuple[FailLine, ...]:
    """Every failed control test, the newest first."""
    fails = failed_tests(kit, judged)
    return tuple(_fail(each, kit, judged, columns) for each in reversed(fails))


def test_lines(
    kit: Kit, judged: tuple[Judged, ...], fails: tuple[FailLine, ...]
) -> tuple[TestLine, ...]:
    """Every control test, the newest first."""
    meters = {each.id: each.name for each in kit.meters}
    vials = {each.id: each.name for each in kit.vials}
    bottles = {each.id: each.name for each in kit.solutions}
    doubts = {each.failed.judged.test.id: each.in_doubt for each in fails}
    seen: set[int] = set()
    found = []
    for each in judged:
        first = each.vial is not None and each.vial not in seen
        if each.vial is not None:
            seen.add(each.vial)
        found.append(
            TestLine(
                judged=each,
                meter=meters.get(each.test.meter, ""),
                vial=vials.get(each.vial) if each.vial else None,
                solution=bottles.get(each.test.solution) if each.test.solution else None,
                first=first,
                in_doubt=doubts.get(each.test.id, 0),
            )
        )
    return tuple(reversed(found))


def _fail(failed: Failed, kit: Kit, judged: tuple[Judged, ...], columns: Columns) -> FailLine:
    now, whole = _places(failed.in_force, columns), _places(failed.stretches, columns)
    test = failed.judged.test
    meter, vial = kit.meter(test.meter), kit.vial(failed.judged.vial)
    since = max(each.after for each in failed.stretches if each.side == METER)
    offers = []
    for offer in failed.offers:
        stay = _places([s for s in failed.stretches if s.side == offer.side], columns)
        passed = offer.passed
        other_vial, other_meter = kit.vial(passed.vial), kit.meter(passed.test.meter)
        is_vial = offer.side != METER
        offers.append(
            NarrowTo(
                side=offer.side,
                name=(vial.name if vial else "") if is_vial else (meter.name if meter else ""),
                passed=passed,
                passed_with=(
                    (other_vial.name if other_vial else "")
                    if is_vial
                    else (other_meter.name if other_meter else "")
                ),
                stay=int(stay.size),
                released=int(whole.size - stay.size),
            )
        )
    return FailLine(
        failed=failed,
        meter=meter.name if meter else "",
        vial=vial.name if vial else None,
        in_doubt=int(now.size),
        all_sides=int(whole.size),
        since=since if since >= 0 else None,
        ids=tuple(columns.id[now].tolist()),
        offers=tuple(offers),
        steps=steps_after(failed.judged, judged),
        passed_since=any(
            each.at > failed.judged.at
            and each.test.meter == test.meter
            and each.verdict is Verdict.PASSED
            for each in judged
        ),
    )


def _places(stretches: tuple[Stretch, ...] | list[Stretch], columns: Columns) -> NDArray[np.int64]:
    found = np.zeros(len(columns), dtype=np.bool_)
    for each in stretches:
        ids = columns.meter if each.side == METER else columns.vial
        inside = (columns.instant > each.after) & (columns.instant < each.before)
        found |= inside & (ids == each.of)
    return np.flatnonzero(found)
