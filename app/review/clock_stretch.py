"""A run of a meter's memory whose clock is spoken of: its place, its repair, what stands around."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from app.domain.clock_order import runs_of
from app.domain.errors import Refused
from app.review.clocks import Clocks, Proposal, Repair
from app.review.memories import Memory, Record
from app.store.clock_rows import MeterClock

AS_PROPOSED = "as proposed"  # how a shift that nobody gave a moment for is known
_WALL_FORMS = ("%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S")


@dataclass(frozen=True, slots=True)
class Run:
    """Records of one memory, by the places of the first and the last, both included."""

    memory: Memory
    first: int
    last: int

    @property
    def records(self) -> tuple[Record, ...]:
        """The records in the order of the memory."""
        return self.memory.records[self.first : self.last + 1]

    @property
    def ids(self) -> frozenset[int]:
        """Their local ids."""
        return frozenset(each.id for each in self.records)


def a_wall(text: str) -> datetime:
    """What a clock showed, typed as 2026-01-01 00:20.

    Raises
    ------
    Refused
        It is no stamp.
    """
    for form in _WALL_FORMS:
        try:
            return datetime.strptime(text.strip(), form)  # noqa: DTZ007 - a meter knows no zone
        except ValueError:
            continue
    raise Refused(
        f'"{text.strip()[:40]}" is no stamp; write it as 2020-01-01 00:20. Nothing was changed.'
    )


def memory_of(clocks: Clocks, meter: MeterClock) -> Memory:
    """The memory of a meter.

    Raises
    ------
    Refused
        No record of it is in the diary.
    """
    memory = clocks.memory(meter.id)
    if memory is None or not memory.records:
        raise Refused(
            f"No record of {meter.name}'s memory is in the diary. Bring a copy in with: "
            f"import FILE --meter NAME"
        )
    return memory


def run_of(clocks: Clocks, proposal: Proposal) -> Run:
    """The records of a proposal."""
    memory = memory_of(clocks, proposal.meter)
    first = memory.place(proposal.records[0])
    return Run(memory, first, first + proposal.n - 1)


def run_of_one(clocks: Clocks, record: Record) -> Run:
    """One record of a memory, alone.

    Raises
    ------
    Refused
        It is of no memory, so no clock speaks for its time.
    """
    for memory in clocks.memories:
        for at, each in enumerate(memory.records):
            if each.id == record.id:
                return Run(memory, at, at)
    raise Refused(
        "This record is in no copy of a meter's memory, so no clock speaks for its time. "
        "Nothing was changed."
    )


def run_repaired(clocks: Clocks, repair: Repair) -> Run:
    """The records of a repair, as far as they still follow each other in the memory.

    Raises
    ------
    Refused
        None of them is in a memory any more, or others came between them.
    """
    memory = memory_of(clocks, repair.meter)
    own = {each.id for each in repair.records}
    runs = list(runs_of([each.id in own for each in memory.records]))
    if len(runs) != 1:
        raise Refused(
            "The records of this repair no longer follow each other in the memory. "
            "Nothing was changed; take the repair back, or choose its records anew."
        )
    return Run(memory, *runs[0])


def run_stamped(memory: Memory, low: datetime, high: datetime) -> Run:
    """The one unbroken run of a memory whose stamps lie between two, both included.

    Raises
    ------
    Refused
        There is none, or the order of the memory breaks it into several.
    """
    inside = [each.shown is not None and low <= each.shown <= high for each in memory.records]
    runs = list(runs_of(inside))
    between = f"between {low:%Y-%m-%d %H:%M} and {high:%Y-%m-%d %H:%M}"
    if not runs:
        raise Refused(
            f"No record of {memory.meter.name} is stamped {between}. Nothing was changed."
        )
    if len(runs) > 1:
        told = ", ".join(f"{last - first + 1}" for first, last in runs)
        raise Refused(
            f"The stamps {between} are no unbroken run in the memory but {len(runs)} (of {told} "
            "records). Nothing was changed; choose a narrower stretch."
        )
    return Run(memory, *runs[0])


def repair_of(clocks: Clocks, run: Run) -> Repair | None:
    """The repair that has all the records of a run already.

    Raises
    ------
    Refused
        The run cuts through one.
    """
    for repair in clocks.repairs:
        own = {each.id for each in repair.records}
        if not own & run.ids:
            continue
        if own == run.ids:
            return repair
        raise Refused(
            f"Of these records {len(own & run.ids)} belong to another repair, of {len(own)} "
            "readings. Nothing was changed; take that one back first, or choose its records."
        )
    return None


def doubtful_around(clocks: Clocks, run: Run) -> frozenset[int]:
    """Records outside a run that look wrong themselves: no order is measured by them."""
    return frozenset(
        record.id
        for proposal in clocks.proposals
        for record in proposal.records
        if proposal.meter.id == run.memory.meter.id and record.id not in run.ids
    )


def doubted(clocks: Clocks, proposal: Proposal) -> tuple[int, list[int]] | None:
    """The repair, with its readings, by which a proposal was kept in doubt; local ids."""
    ids = {each.id for each in proposal.records}
    for repair in clocks.repairs:
        own = [each.id for each in repair.records]
        if repair.row.state == "proposed" and ids & set(own):
            return repair.row.id, own
    return None


def first_by_shift(proposal: Proposal) -> tuple[datetime, datetime] | None:
    """The stamp of the first record, and the wall time that the proposed shift would make of it."""
    shown = proposal.records[0].shown
    if proposal.shift_s is None or shown is None:
        return None
    return shown, shown + timedelta(seconds=proposal.shift_s)
