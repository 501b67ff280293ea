"""Where each row of a file goes: anew, known already, one with what was written, or to be asked."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from app.domain.control_suspects import FromMemory, control_suspects, range_around
from app.domain.errors import Problem
from app.domain.glucose import Bound
from app.domain.kit import Kit, Meter
from app.domain.marks import Mark
from app.domain.person import Person, same_name
from app.domain.vials_used import stretches_of, vial_at
from app.exchange.file_read import ControlRow, ReadingRow, Row
from app.store import imports
from app.store.by_hand import ByHand, controls_by_hand, readings_by_hand
from app.store.diary import Reader
from app.work.file_rows import Placed, Sorted, problem_of
from app.work.row_answers import (
    CONTROL,
    GLUCOSE,
    LOOKS_LIKE_CONTROL,
    ONE,
    PROBABLY_ONE,
    TWO,
    RowAnswers,
    RowQuestion,
    as_control,
    odd_question,
)

TABLES = {
    "reading": imports.READING,
    "dose": imports.DOSE,
    "event": imports.EVENT,
    "control_test": imports.CONTROL,
}
# Results of one test, typed and from the memory, are this close: people type at once, clocks of
# meters are off by minutes. A rule of this diary.
SAME_SECONDS = 600
_FROM_ITS_FILE = "the diary has this record from the file it first came from; correct it there"
_NO_METER = "a control test belongs to a meter; say whose memory this is with --meter NAME"

Back = tuple[Placed, int, bytes]


@dataclass(frozen=True, slots=True)
class Linked:
    """A row that is one with a result written by hand."""

    placed: Placed
    there: ByHand
    said: bool  # by a person; else its own code says it


@dataclass(slots=True)
class Plan:
    """Where the rows go; `two` holds the results by hand that rows were said to be apart from."""

    new: list[Placed] = field(default_factory=list)
    back: list[Back] = field(default_factory=list)
    already: list[tuple[Placed, str, bytes]] = field(default_factory=list)
    linked: list[Linked] = field(default_factory=list)
    held: list[Problem] = field(default_factory=list)
    asked: list[RowQuestion] = field(default_factory=list)
    two: dict[int, ByHand] = field(default_factory=dict)  # by line


@dataclass(frozen=True, slots=True)
class Beside:
    """What rows are looked at against: the kit, the name of the meter copied, what was said."""

    kit: Kit
    meter: str | None
    answers: RowAnswers

    @property
    def known_meter(self) -> Meter | None:
        """The meter as the kit has it; None for a file of no meter, or of a new one."""
        if self.meter is None:
            return None
        return next((each for each in self.kit.meters if same_name(each.name, self.meter)), None)


def plan_rows(connection: Reader, person: Person, rows: Sorted, beside: Beside) -> Plan:
    """Say where each row goes, by its key, and then by what was written by hand."""
    plan = Plan(held=[*rows.held])
    known = {table: imports.known(connection, table, person) for table in TABLES}
    # A row that was taken for a control test once is known as one, and the other way round.
    both = ("reading", "control_test")
    sides = {table: both if table in both else (table,) for table in known}
    uids = [each.uid for each in rows.placed if each.uid is not None]
    there = imports.held_under(connection, uids) if uids else {}
    fresh: list[Placed] = []
    met: set[bytes] = set()
    for each in rows.placed:
        if each.uid is not None:
            back_id = known[each.row.kind].back_by_uid.get(each.uid.bytes)
            if back_id is not None:
                plan.back.append((each, back_id, each.uid.bytes))
            elif each.uid not in there and _is_met(each, known[each.row.kind], met):
                plan.held.append(problem_of(each.row, _FROM_ITS_FILE))
            else:
                _sort_restored(plan, each, there.get(each.uid), person)
            continue
        key = each.key or b""
        for side in sides[each.row.kind]:
            if key in known[side].taken:
                plan.already.append((each, side, known[side].taken[key]))
                break
        else:
            if each.row.held is None:
                fresh.append(each)
            else:
                _hold(plan, each.row, each.row.held)
    back = {table: each.back for table, each in known.items()}
    for each in _judged(connection, person, fresh, plan, beside):
        came_back = back[each.row.kind].get(each.key or b"")
        if came_back is None:
            plan.new.append(each)
        else:
            plan.back.append((each, *came_back))
    return plan


def level_of(row: ControlRow, kit: Kit, meter: Meter | None, at: int | None) -> str:
    """The level of a control test: as said, else by the range of its vial that it lies in."""
    if row.level is not None:
        return row.level
    vial = None
    if meter is not None and at is not None:
        vial = kit.vial(vial_at(stretches_of(kit.uses), meter.id, at) or None)
    printed = range_around(row.glucose, vial.ranges if vial else ())
    return printed.level if printed else "normal"


def _hold(plan: Plan, row: Row, why: str) -> None:
    """Let a row wait that its file makes doubtful; of a value that is hardly one, ask."""
    plan.held.append(problem_of(row, why))
    question = odd_question(row) if isinstance(row, ReadingRow) else None
    if question is not None:
        plan.asked.append(question)


def _is_met(each: Placed, known: imports.Known, met: set[bytes]) -> bool:
    """Whether the row of a file that a restored record came from is in the diary by itself."""
    if each.key is None:
        return False
    is_there = each.key in known.taken or each.key in known.back or each.key in met
    met.add(each.key)
    return is_there


def _sort_restored(plan: Plan, each: Placed, there: tuple[Any, ...] | None, person: Person) -> None:
    """Place a row of our own export: it is known by its id, and never overwrites."""
    row = each.row
    if there is None or not isinstance(row, ReadingRow):
        plan.new.append(each)
        return
    glucose = row.glucose
    ours = (person.id, glucose.value, glucose.unit.value, glucose.bound.value, each.moment[1])
    emptied = there[0] == person.id and there[3:] == ("no_value", None)  # and does not come back
    if there == ours or emptied:
        plan.already.append((each, "reading", each.uid.bytes if each.uid else b""))
        return
    why = "the diary holds this record with another value or time; correct it there"
    if there[0] != person.id:
        why = "this record belongs to another person of the diary"
    plan.held.append(problem_of(row, why))


def _judged(
    connection: Reader, person: Person, fresh: list[Placed], plan: Plan, beside: Beside
) -> Iterable[Placed]:
    """The rows that are new indeed; the others are held with a question, or linked."""
    readings = _ByValue(readings_by_hand(connection, person))
    controls = _ByValue(controls_by_hand(connection, beside.meter) if beside.meter else [])
    suspects = _suspects(fresh, beside)
    for place, each in enumerate(fresh):
        row = each.row
        if type(row) is ReadingRow:
            if readings or controls or suspects:
                judged = _judge(each, place in suspects, readings, controls, plan, beside)
                if judged is not None:
                    yield judged
            else:
                yield each
        elif type(row) is ControlRow:
            if beside.meter is None:
                plan.held.append(problem_of(row, _NO_METER))
            elif (there := controls.nearest(each)) is not None:
                said = row.line in beside.answers.by_line
                plan.linked.append(Linked(each, controls.take(there), said))
            else:
                yield each
        else:
            yield each


def _judge(
    each: Placed,
    suspect: bool,
    readings: _ByValue,
    controls: _ByValue,
    plan: Plan,
    beside: Beside,
) -> Placed | None:
    row, answers = each.row, beside.answers
    if not isinstance(row, ReadingRow):
        return each
    control = controls.nearest(each)
    if suspect or control is not None:
        word = answers.word(row.line, (CONTROL, GLUCOSE))
        if word is None:
            _ask(plan, each, LOOKS_LIKE_CONTROL, _control_words(control), (CONTROL, GLUCOSE))
            return None
        if word == CONTROL:
            taken = each._replace(row=as_control(row))
            if control is None:
                return taken
            plan.linked.append(Linked(taken, controls.take(control), True))
            return None
    there = readings.nearest(each)
    if there is None:
        return each
    word = answers.word(row.line, (ONE, TWO))
    if word is None:
        why = f"probably one with the {there.value} {there.unit} that was written for {_at(there)}"
        _ask(plan, each, PROBABLY_ONE, why, (ONE, TWO))
        return None
    readings.take(there)
    if word == ONE:
        plan.linked.append(Linked(each, there, True))
        return None
    plan.two[row.line] = there
    return each


def _ask(plan: Plan, each: Placed, kind: str, why: str, answers: tuple[str, ...]) -> None:
    plan.held.append(problem_of(each.row, why))
    plan.asked.append(RowQuestion(each.row.line, kind, why, answers))


def _control_words(control: ByHand | None) -> str:
    if control is None:
        return "looks like a control test: unmarked, in the printed range, soon after a new vial"
    return f"looks like the control test of {_at(control)}: the same value on the same meter"


def _at(there: ByHand) -> str:
    return there.wall.replace("T", " ")[:16]


def _suspects(fresh: Sequence[Placed], beside: Beside) -> set[int]:
    meter = beside.known_meter
    if meter is None:
        return set()
    places, records = [], []
    for place, each in enumerate(fresh):
        row = each.row
        if isinstance(row, ReadingRow) and each.moment[0] is not None:
            places.append(place)
            records.append(FromMemory(each.moment[0], row.glucose, row.mark is not Mark.NONE))
    return {places[at] for at in control_suspects(beside.kit, meter.id, records)}


class _ByValue:
    """Results by hand, to be found by value and time; each is met once."""

    def __init__(self, results: Iterable[ByHand]) -> None:
        self._by_value: dict[tuple[float, str], list[ByHand]] = {}
        for each in results:
            self._by_value.setdefault((float(each.value), each.unit), []).append(each)

    def __bool__(self) -> bool:
        return bool(self._by_value)

    def nearest(self, each: Placed) -> ByHand | None:
        """The result of the same value nearest in time, within ten minutes."""
        row, instant = each.row, each.moment[0]
        if not self._by_value or instant is None or not isinstance(row, ReadingRow | ControlRow):
            return None
        glucose = row.glucose
        if glucose.bound is not Bound.EXACT or glucose.number is None:
            return None
        there = self._by_value.get((glucose.number, glucose.unit.value))
        if not there:
            return None
        at = bisect_left(there, instant, key=lambda result: result.instant)
        near = min(there[max(at - 1, 0) : at + 1], key=lambda result: abs(result.instant - instant))
        return near if abs(near.instant - instant) <= SAME_SECONDS else None

    def take(self, there: ByHand) -> ByHand:
        """The result, which no other row meets from now on."""
        self._by_value[(float(there.value), there.unit)].remove(there)
        return there
