"""The person's word on a stretch whose clock looks wrong; each is one change, with its sentence."""

from __future__ import annotations

from datetime import datetime

from app.domain.person import Person
from app.review.clock_stretch import doubted, run_of
from app.review.clocks import Clocks, Proposal
from app.store.diary import Diary
from app.work.clock_notes import say_no
from app.work.repair_clock import keep_in_doubt


def left_as_it_is(
    diary: Diary, person: Person, clocks: Clocks, about: Proposal, now: datetime
) -> str:
    """Nothing is changed, and the stretch is not proposed again."""
    return say_no(
        diary,
        person,
        kind=about.kind,
        meter=about.meter.name,
        count=about.n,
        first=about.records[0].uid,
        last=about.records[-1].uid,
        now=now,
        doubted=doubted(clocks, about),
    )


def kept_in_doubt(
    diary: Diary, person: Person, clocks: Clocks, about: Proposal, now: datetime
) -> str:
    """The times stay, their clock in doubt until more is known."""
    run, meter = run_of(clocks, about), about.meter
    return keep_in_doubt(
        diary,
        person,
        (meter.id, meter.name),
        run.memory.stamped[run.first : run.last + 1],
        shift_s=about.shift_s,
        now=now,
    ).sentence
