"""From the words of `clocks repair` to a plan: which records, which known moments."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from app.domain.clock_anchors import Anchor
from app.domain.clock_order import runs_of
from app.domain.errors import NeedsAnswer, Question, Refused
from app.review.clocks import Clocks, Proposal
from app.review.memories import Memory
from app.store.clock_rows import MeterClock
from app.work.clock_plan import Earlier, RepairPlan, anchor_at, plan_repair, plan_stay
from app.work.note_down import moment_typed

if TYPE_CHECKING:
    from app.cli.surroundings import Asked

AS_PROPOSED = "as proposed"  # how a shift that nobody gave a moment for is known
_WALL_FORMS = ("%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S")


def meter_named(clocks: Clocks, name: str) -> MeterClock:
    """The meter of a name; refuses one that the person does not have."""
    for memory in clocks.memories:
        if memory.meter.name.casefold() == name.strip().casefold():
            return memory.meter
    there = ", ".join(memory.meter.name for memory in clocks.memories) or "none"
    raise Refused(f'There is no meter "{name}" here. The meters are: {there}.')


def proposal_numbered(clocks: Clocks, number: int) -> Proposal:
    """The proposal of a number of the list."""
    if not 1 <= number <= len(clocks.proposals):
        raise Refused(
            f"There is no number {number} in the list; it has {len(clocks.proposals)}. "
            "See it with: clocks"
        )
    return clocks.proposals[number - 1]


def a_wall(text: str) -> datetime:
    """What a clock showed, typed as 2026-01-01 00:20."""
    for form in _WALL_FORMS:
        try:
            return datetime.strptime(text.strip(), form)  # noqa: DTZ007 - a meter knows no zone
        except ValueError:
            continue
    raise Refused(
        f'"{text.strip()[:40]}" is no stamp; write it as 2020-01-01 00:20. Nothing was changed.'
    )


def planned(asked: Asked, clocks: Clocks) -> RepairPlan:
    """The plan that the words of the command ask for."""
    options, now = asked.options, asked.around.now
    if (options.number is None) is (options.first is None and options.last is None):
        raise Refused(
            "Say which records: a number of the list, or --meter NAME --from RAW --to RAW."
        )
    proposal = None if options.number is None else proposal_numbered(clocks, options.number)
    memory, first, last = of_proposal(clocks, proposal) if proposal else _by_stamps(asked, clocks)
    meter = memory.meter
    doubtful = _doubtful(clocks, memory, first, last)
    anchors = tuple(_anchor(asked, clocks, memory, first, last, text) for text in options.anchor)
    earlier = _earlier(clocks, memory, first, last)
    if proposal is not None and not anchors:
        if proposal.zone is not None:
            return plan_stay(
                memory.stamped,
                first,
                last,
                zone=proposal.zone,
                kept_home=proposal.kind == "home_time",
                meter_id=meter.id,
                meter=meter.name,
                now=now,
                doubtful=doubtful,
            )
        anchors = _proposed(proposal)
    if not anchors and earlier is None:
        _ask_for_anchor(memory, first)
    return plan_repair(
        memory.stamped,
        first,
        last,
        anchors,
        meter_id=meter.id,
        meter=meter.name,
        now=now,
        earlier=earlier,
        instead=options.instead,
        doubtful=doubtful,
    )


def of_proposal(clocks: Clocks, proposal: Proposal) -> tuple[Memory, int, int]:
    """The memory of a proposal, and the places of its first and last record in it."""
    memory = _memory(clocks, proposal.meter)
    first = memory.place(proposal.records[0])
    return memory, first, first + proposal.n - 1


def _by_stamps(asked: Asked, clocks: Clocks) -> tuple[Memory, int, int]:
    """The one unbroken run of the memory whose stamps lie between the two that were typed."""
    options = asked.options
    if options.meter is None or options.first is None or options.last is None:
        raise Refused("Say all of: --meter NAME --from RAW --to RAW. Nothing was changed.")
    memory = _memory(clocks, meter_named(clocks, options.meter))
    low, high = a_wall(options.first), a_wall(options.last)
    inside = [each.shown is not None and low <= each.shown <= high for each in memory.records]
    runs = list(runs_of(inside))
    if not runs:
        raise Refused(
            f"No record of {memory.meter.name} is stamped between {options.first} and "
            f"{options.last}. Nothing was changed."
        )
    if len(runs) > 1:
        told = ", ".join(f"{last - first + 1}" for first, last in runs)
        raise Refused(
            f"The stamps between {options.first} and {options.last} are no unbroken run in the "
            f"memory but {len(runs)} (of {told} records). Nothing was changed; choose a narrower "
            "stretch."
        )
    return memory, *runs[0]


def _memory(clocks: Clocks, meter: MeterClock) -> Memory:
    memory = clocks.memory(meter.id)
    if memory is None or not memory.records:
        raise Refused(
            f"No record of {meter.name}'s memory is in the diary. Bring a copy in with: "
            f"import FILE --meter NAME"
        )
    return memory


def _anchor(
    asked: Asked, clocks: Clocks, memory: Memory, first: int, last: int, text: str
) -> Anchor:
    left, between, right = text.partition("=")
    if not between:
        raise Refused(
            f'"{text[:60]}" is no known moment; write it as "2020-01-01 00:20 = 2026-11-14 18:40". '
            "Nothing was changed."
        )
    said = left.strip().casefold()
    places = {"first": first, "last": last}
    shown = memory.records[places[said]].shown if said in places else a_wall(left)
    if shown is None:
        raise Refused(f"The {said} record has no readable stamp. Nothing was changed.")
    options = asked.options
    zone = options.zone or memory.meter.zone
    true = moment_typed(right.strip(), clocks.person, now=asked.around.now, zone=zone)
    return Anchor(shown, true, options.why)


def _proposed(proposal: Proposal) -> tuple[Anchor, ...]:
    if proposal.anchor is not None:
        return (proposal.anchor,)
    shown = proposal.records[0].shown
    if proposal.shift_s is None or shown is None:
        return ()
    true = shown + timedelta(seconds=proposal.shift_s)
    return (anchor_at(shown, true, proposal.meter.zone, why=AS_PROPOSED),)


def _earlier(clocks: Clocks, memory: Memory, first: int, last: int) -> Earlier | None:
    """The repair that has all of these records already; refuses a run that cuts through one."""
    ids = {each.id for each in memory.records[first : last + 1]}
    for repair in clocks.repairs:
        own = {each.id for each in repair.records}
        if not own & ids:
            continue
        if own == ids:
            row = repair.row
            return Earlier(row.id, repair.anchors, tuple(each.id for each in row.anchors))
        raise Refused(
            f"Of these records {len(own & ids)} belong to another repair, of {len(own)} readings. "
            "Nothing was changed; take that one back first, or choose its records."
        )
    return None


def _doubtful(clocks: Clocks, memory: Memory, first: int, last: int) -> frozenset[int]:
    """Records outside the run that look wrong themselves: no order is measured by them."""
    ids = {each.id for each in memory.records[first : last + 1]}
    return frozenset(
        record.id
        for proposal in clocks.proposals
        for record in proposal.records
        if proposal.meter.id == memory.meter.id and record.id not in ids
    )


def _ask_for_anchor(memory: Memory, first: int) -> None:
    shown = memory.records[first].shown
    stamp = "first" if shown is None else f"{shown:%Y-%m-%d %H:%M}"
    raise NeedsAnswer(
        (
            Question(
                "anchor",
                "Nothing says yet what these stamps truly mean. Which moment do you know, for "
                "instance of a meal or of the new battery? Nothing was changed.",
                (f'--anchor "{stamp} = TRUE TIME"',),
            ),
        )
    )
