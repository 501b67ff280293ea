"""From what is typed about a clock to a plan of new times, or why there is none yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from app.domain.clock import Moment
from app.domain.clock_anchors import Anchor
from app.domain.errors import NeedsAnswer, Refused
from app.domain.person import Person
from app.review.clock_stretch import (
    AS_PROPOSED,
    Run,
    a_wall,
    doubtful_around,
    first_by_shift,
    repair_of,
    run_of,
    run_repaired,
)
from app.review.clocks import Clocks, Proposal, Repair
from app.work.clock_plan import Earlier, RepairPlan, anchor_at, plan_repair, plan_stay
from app.work.note_down import moment_typed


@dataclass(frozen=True, slots=True)
class Known:
    """A known moment as it was typed; empty where nothing was."""

    shown: str = ""
    true: str = ""
    why: str = ""

    @property
    def is_empty(self) -> bool:
        """Whether no true time was typed: a stamp alone says nothing."""
        return not self.true.strip()


@dataclass(frozen=True, slots=True)
class Stretch:
    """Records whose clock is to be set right, and what is known of it so far."""

    run: Run
    proposal: Proposal | None
    repair: Repair | None
    doubtful: frozenset[int]

    @property
    def earlier(self) -> tuple[Anchor, ...]:
        """The known moments that were said before."""
        return self.repair.anchors if self.repair else ()

    @property
    def zone(self) -> str:
        """Where the meter is."""
        return self.run.memory.meter.zone


def stretch_proposed(clocks: Clocks, proposal: Proposal) -> Stretch:
    """The records of a proposal."""
    return stretch_of(clocks, run_of(clocks, proposal), proposal)


def stretch_repaired(clocks: Clocks, repair: Repair) -> Stretch:
    """The records of a repair, to be held against one more known moment.

    Raises
    ------
    Refused
        They no longer follow each other in the memory.
    """
    return stretch_of(clocks, run_repaired(clocks, repair))


def stretch_of(clocks: Clocks, run: Run, proposal: Proposal | None = None) -> Stretch:
    """Any run of a memory.

    Raises
    ------
    Refused
        It cuts through the records of another repair.
    """
    return Stretch(run, proposal, repair_of(clocks, run), doubtful_around(clocks, run))


def proposed(stretch: Stretch) -> Known:
    """What the fields begin with: the first stamp, and its time where one is proposed."""
    shown = stretch.run.records[0].shown
    begin = "" if shown is None else _typed(shown)
    proposal = stretch.proposal
    if proposal is None or proposal.zone is not None or stretch.earlier:
        return Known(begin)
    if proposal.anchor is not None:
        anchor = proposal.anchor
        return Known(_typed(anchor.shown), _typed(anchor.true.local), anchor.why or "")
    by_shift = first_by_shift(proposal)
    if by_shift is None:
        return Known(begin)
    return Known(_typed(by_shift[0]), _typed(by_shift[1]), AS_PROPOSED)


def planned(
    stretch: Stretch,
    typed: Sequence[Known],
    held: Sequence[Anchor],
    person: Person,
    *,
    now: datetime,
) -> RepairPlan | None:
    """The plan that was typed; None where nothing says yet what the stamps truly mean.

    Parameters
    ----------
    held : sequence of Anchor
        Those of the moments said before that still hold.

    Raises
    ------
    Refused, NeedsAnswer
        A time can't be read, or the new times can't be. Nothing was changed.
    """
    run, meter = stretch.run, stretch.run.memory.meter
    anchors = [_anchor(each, stretch, person, now) for each in typed if not each.is_empty]
    proposal = stretch.proposal
    if proposal is not None and proposal.zone is not None and not anchors and not held:
        return plan_stay(
            run.memory.stamped,
            run.first,
            run.last,
            zone=proposal.zone,
            kept_home=proposal.kind == "home_time",
            meter_id=meter.id,
            meter=meter.name,
            now=now,
            doubtful=stretch.doubtful,
        )
    if not anchors and not held:
        return None
    earlier = None
    if stretch.repair is not None:
        row = stretch.repair.row
        earlier = Earlier(row.id, stretch.earlier, tuple(each.id for each in row.anchors))
    instead = len(held) < len(stretch.earlier)
    return plan_repair(
        run.memory.stamped,
        run.first,
        run.last,
        [*held, *anchors] if instead else anchors,
        meter_id=meter.id,
        meter=meter.name,
        now=now,
        earlier=earlier,
        instead=instead,
        doubtful=stretch.doubtful,
    )


def changes_something(stretch: Stretch, plan: RepairPlan) -> bool:
    """Whether a plan says more than what holds already."""
    if plan.kind == "stay" or plan.dropped or plan.new_anchors:
        return True
    return stretch.repair is None or stretch.repair.row.state == "proposed"


def _anchor(known: Known, stretch: Stretch, person: Person, now: datetime) -> Anchor:
    shown, why = a_wall(known.shown), " ".join(known.why.split()) or None
    if why == AS_PROPOSED:
        # A shift that is proposed is no time that somebody typed: it is taken as it stands.
        return anchor_at(shown, a_wall(known.true), stretch.zone, why=why)
    return Anchor(shown, _past(known.true.strip(), stretch.zone, person, now), why)


def _past(text: str, zone: str, person: Person, now: datetime) -> Moment:
    """A typed time that has come; one of the hour that came twice is asked about as anywhere."""
    try:
        return moment_typed(text, person, now=now, zone=zone)
    except NeedsAnswer as asked:
        if any(each.kind == "future" for each in asked.questions):
            raise Refused(
                f'"{text[:40]}" has not come yet. A known moment lies in the past. '
                "Nothing was changed."
            ) from asked
        raise


def _typed(wall: datetime) -> str:
    return f"{wall:%Y-%m-%d %H:%M:%S}" if wall.second else f"{wall:%Y-%m-%d %H:%M}"
