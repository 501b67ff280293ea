"""From the words of `clocks repair` to a plan: which records, which known moments."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.domain.clock_anchors import Anchor
from app.domain.errors import NeedsAnswer, Question, Refused
from app.review.clock_stretch import (
    AS_PROPOSED,
    Run,
    a_wall,
    doubtful_around,
    first_by_shift,
    memory_of,
    repair_of,
    run_of,
    run_stamped,
)
from app.review.clock_words import settles_words
from app.review.clocks import Clocks, Proposal
from app.store.clock_rows import MeterClock
from app.work.clock_plan import Earlier, RepairPlan, anchor_at, plan_repair, plan_stay
from app.work.note_down import moment_typed

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


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


def planned(asked: Asked, clocks: Clocks) -> RepairPlan:
    """The plan that the words of the command ask for."""
    options, now = asked.options, asked.around.now
    if (options.number is None) is (options.first is None and options.last is None):
        raise Refused(
            "Say which records: a number of the list, or --meter NAME --from RAW --to RAW."
        )
    proposal = None if options.number is None else proposal_numbered(clocks, options.number)
    run = run_of(clocks, proposal) if proposal else _by_stamps(asked, clocks)
    memory, meter = run.memory, run.memory.meter
    doubtful = doubtful_around(clocks, run)
    anchors = tuple(_anchor(asked, clocks, run, text) for text in options.anchor)
    earlier = _earlier(clocks, run)
    if proposal is not None and not anchors:
        if proposal.zone is not None:
            return plan_stay(
                memory.stamped,
                run.first,
                run.last,
                zone=proposal.zone,
                kept_home=proposal.kind == "home_time",
                meter_id=meter.id,
                meter=meter.name,
                now=now,
                doubtful=doubtful,
            )
        if proposal.kind == "home_time":
            _ask_for_place(proposal)
        anchors = _proposed(proposal)
    if not anchors and earlier is None:
        _ask_for_anchor(run)
    return plan_repair(
        memory.stamped,
        run.first,
        run.last,
        anchors,
        meter_id=meter.id,
        meter=meter.name,
        now=now,
        earlier=earlier,
        instead=options.instead,
        doubtful=doubtful,
    )


def _by_stamps(asked: Asked, clocks: Clocks) -> Run:
    """The run of the memory whose stamps lie between the two that were typed."""
    options = asked.options
    if options.meter is None or options.first is None or options.last is None:
        raise Refused("Say all of: --meter NAME --from RAW --to RAW. Nothing was changed.")
    memory = memory_of(clocks, meter_named(clocks, options.meter))
    return run_stamped(memory, a_wall(options.first), a_wall(options.last))


def _anchor(asked: Asked, clocks: Clocks, run: Run, text: str) -> Anchor:
    left, between, right = text.partition("=")
    if not between:
        raise Refused(
            f'"{text[:60]}" is no known moment; write it as "2020-01-01 00:20 = 2026-11-14 18:40". '
            "Nothing was changed."
        )
    said = left.strip().casefold()
    places = {"first": run.records[0], "last": run.records[-1]}
    shown = places[said].shown if said in places else a_wall(left)
    if shown is None:
        raise Refused(f"The {said} record has no readable stamp. Nothing was changed.")
    options = asked.options
    zone = options.zone or run.memory.meter.zone
    true = moment_typed(right.strip(), clocks.person, now=asked.around.now, zone=zone)
    return Anchor(shown, true, options.why)


def _proposed(proposal: Proposal) -> tuple[Anchor, ...]:
    if proposal.anchor is not None:
        return (proposal.anchor,)
    by_shift = first_by_shift(proposal)
    if by_shift is None:
        return ()
    return (anchor_at(*by_shift, proposal.meter.zone, why=AS_PROPOSED),)


def _earlier(clocks: Clocks, run: Run) -> Earlier | None:
    """The repair that has all of these records already."""
    repair = repair_of(clocks, run)
    if repair is None:
        return None
    row = repair.row
    return Earlier(row.id, repair.anchors, tuple(each.id for each in row.anchors))


def _ask_for_anchor(run: Run) -> None:
    shown = run.records[0].shown
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


def _ask_for_place(proposal: Proposal) -> None:
    """A shift alone would move instants that were right: the zone of the journey has to be said."""
    raise NeedsAnswer(
        (
            Question(
                "zone",
                "Nothing says yet in which zone this journey was, so the wall times there are not "
                f"known. Nothing was changed. {settles_words(proposal)}",
                ("thimblebook clocks journey",),
            ),
        )
    )
