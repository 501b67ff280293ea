"""The kit of a person in one record: for the Kit page, the Now column and the verb alike."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from app.domain.clock import FUTURE_SECONDS
from app.domain.control import judge
from app.domain.control_due import ControlDue, control_due
from app.domain.kit import Kit, KitEvent, KitItem, Meter, Solution
from app.domain.person import Person, today_of
from app.domain.reading import Doubt
from app.review.kit_tests import FailLine, TestLine, fail_lines, test_lines
from app.review.kit_vials import StripsShown, VialLine, strips_shown, vial_lines
from app.review.kit_warnings import KitWarning, kit_warnings
from app.review.record import Record
from app.store.columns import Columns
from app.store.diary import Diary
from app.store.kit_rows import control_every, kit_of, low_batteries


@dataclass(frozen=True, slots=True)
class MeterLine:
    """A meter: its readings (n), the first and the last day of use (ordinals), its vial now."""

    meter: Meter
    n: int
    first_day: int | None
    last_day: int | None
    vial: str | None
    last_test: TestLine | None
    due: tuple[ControlDue, ...]


@dataclass(frozen=True, slots=True)
class Unmetered:
    """How many readings say no meter, and the ordinals of their first and last day.

    Nothing of the kit puts them in doubt: neither a vial's date nor a failed control test.
    """

    n: int
    first_day: int | None
    last_day: int | None


@dataclass(frozen=True, slots=True)
class KitShown:
    """The kit as it stands; `doubt` counts readings in doubt by reason, of all there are."""

    person: Person
    today: int
    meters: tuple[MeterLine, ...]
    vials: tuple[VialLine, ...]
    solutions: tuple[Solution, ...]
    items: tuple[KitItem, ...]
    events: tuple[KitEvent, ...]
    tests: tuple[TestLine, ...]
    fails: tuple[FailLine, ...]
    strips: StripsShown
    warnings: tuple[KitWarning, ...]
    every_days: int | None
    doubt: dict[Doubt, int]
    without_meter: Unmetered


def kit_shown(diary: Diary, record: Record, *, now: datetime) -> KitShown:
    """Everything about the kit of a person.

    Parameters
    ----------
    record : Record
        The whole record: strips are counted from all readings since a vial was opened.
    now : datetime
        The aware time.
    """
    person, at = record.person, int(now.timestamp())
    today = today_of(person, now).toordinal()
    columns = record.columns.where(record.columns.instant <= at + FUTURE_SECONDS)
    kit = own_part(kit_of(diary), person, columns)
    judged = tuple(each for each in judge(kit) if each.at <= at + FUTURE_SECONDS)
    every = control_every(diary, person)
    fails = fail_lines(kit, judged, columns)
    tests = test_lines(kit, judged, fails)
    vials = vial_lines(kit, judged, columns, now=at, today=today)
    due = control_due(kit, judged, now=at, every_days=every)
    strips = strips_shown(vials, kit, columns, today)
    names = {each.id: each.name for each in kit.meters}
    batteries = tuple(
        (names[meter], day) for meter, day in low_batteries(diary, person, kit, now=at).items()
    )
    return KitShown(
        person=person,
        today=today,
        meters=tuple(_meter(each, columns, vials, tests, due) for each in kit.meters),
        vials=vials,
        solutions=kit.solutions,
        items=kit.items,
        events=kit.events,
        tests=tests,
        fails=fails,
        strips=strips,
        warnings=kit_warnings(
            vials=vials,
            fails=fails,
            due=due,
            strips=strips,
            solutions=_bottles_in_use(kit),
            batteries=batteries,
            today=today,
        ),
        every_days=every,
        doubt={
            reason: int(np.count_nonzero(columns.doubt & reason))
            for reason in Doubt
            if (columns.doubt & reason).any()
        },
        without_meter=_unmetered(columns),
    )


def _unmetered(columns: Columns) -> Unmetered:
    days = columns.day[columns.meter == 0]
    if not len(days):
        return Unmetered(0, None, None)
    return Unmetered(len(days), int(days.min()), int(days.max()))


def own_part(kit: Kit, person: Person, columns: Columns) -> Kit:
    """The person's own kit, what is everybody's, and what the person's readings were made with."""
    used = set(np.unique(columns.meter).tolist())
    vials = set(np.unique(columns.vial).tolist())
    meters = {e.id for e in kit.meters if e.person_id in (None, person.id) or e.id in used}
    own = {e.id for e in kit.vials if e.person_id in (None, person.id) or e.id in vials}
    tests = tuple(each for each in kit.tests if each.meter in meters)
    bottles = {each.solution for each in tests}
    others = {each.solution for each in kit.tests} - bottles
    return Kit(
        meters=tuple(each for each in kit.meters if each.id in meters),
        vials=tuple(each for each in kit.vials if each.id in own),
        uses=tuple(each for each in kit.uses if each.meter in meters),
        solutions=tuple(each for each in kit.solutions if each.id not in others),
        tests=tests,
        items=tuple(each for each in kit.items if each.person_id in (None, person.id)),
        events=tuple(
            each
            for each in kit.events
            if each.meter in meters
            or each.vial in own
            or (each.item is not None and each.meter is None and each.vial is None)
        ),
        supplies=tuple(e for e in kit.supplies if e.person_id in (None, person.id)),
        narrowed=kit.narrowed,
        clocks=tuple(each for each in kit.clocks if each.meter in meters),
        rev=kit.rev,
    )


def _bottles_in_use(kit: Kit) -> tuple[Solution, ...]:
    """Of each level the bottle that was written down last."""
    return tuple({each.level: each for each in kit.solutions}.values())


def _meter(
    meter: Meter,
    columns: Columns,
    vials: tuple[VialLine, ...],
    tests: tuple[TestLine, ...],
    due: tuple[ControlDue, ...],
) -> MeterLine:
    days = columns.day[columns.meter == meter.id]
    own = [each for each in vials if each.in_use and meter.name in each.meters]
    return MeterLine(
        meter=meter,
        n=int(days.size),
        first_day=int(days.min()) if days.size else None,
        last_day=int(days.max()) if days.size else None,
        vial=own[-1].vial.name if own else None,
        last_test=next((each for each in tests if each.judged.test.meter == meter.id), None),
        due=tuple(each for each in due if each.meter.id == meter.id),
    )
