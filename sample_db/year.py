"""A drawn year as it was lived: the script applied in order of time."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime

from app.domain.clock import Moment
from app.domain.glucose import Glucose
from app.domain.reading import Stamp, Standing
from sample_db import script
from sample_db.clocks import ClockSetting
from sample_db.generator import Truth
from sample_db.household import Household
from sample_db.records import NOT_IN_MEMORY, ControlTest, Ketone, Result, Trace, local_moment
from sample_db.stamping import by_time, stamped


@dataclass(slots=True)
class _Draft:
    """A year in the making."""

    home: Household
    results: list[Result] = field(default_factory=list)
    controls: list[ControlTest] = field(default_factory=list)
    ketones: list[Ketone] = field(default_factory=list)
    settings: list[ClockSetting] = field(default_factory=list)

    def change(
        self, at: str, until: str, change: Callable[[Result], Result], *, meter: str | None = None
    ) -> None:
        """Change the results from one wall time up to another; refuses to change none."""
        first, end = datetime.fromisoformat(at), datetime.fromisoformat(until)
        hit = [
            first <= each.moment.local < end and meter in (None, each.meter)
            for each in self.results
        ]
        if not any(hit):
            raise ValueError(f"nothing to change from {at} to {until}")
        self.results = [
            change(each) if is_hit else each for each, is_hit in zip(self.results, hit, strict=True)
        ]


def lived(home: Household, drawn: Iterable[Truth], steps: Iterable[script.Step]) -> Household:
    """The household with its year: results, control tests, ketones, clocks and repairs.

    Raises
    ------
    ValueError
        If a step speaks of a result that is not there.
    """
    draft = _Draft(home)
    draft.results = [_from_truth(home, test) for test in drawn]
    for step in sorted(steps, key=lambda each: each.at):
        _apply(draft, step)
    return stamped(
        replace(home, ketones=tuple(sorted(draft.ketones, key=by_time))),
        draft.results,
        draft.controls,
        draft.settings,
    )


def moment_in(home: Household, wall: str) -> Moment:
    """The moment of a wall time where the household was on that day."""
    for journey in home.journeys:
        if journey.start.wall <= wall < journey.end.wall:
            return local_moment(wall, journey.zone)
    return local_moment(wall, home.wishes.zone)


def _apply(draft: _Draft, step: script.Step) -> None:
    home = draft.home
    match step:
        case script.Added():
            draft.results.append(_added(home, step))
        case script.SomeoneElse():
            someone = _result(home, step.at, step.value, step.meter)
            draft.results.append(
                replace(
                    someone,
                    standing=Standing.NOT_MINE,
                    standing_why=f"{step.who} tried the meter",
                )
            )
        case script.PaperOnly():
            draft.results.append(_paper_only(home, step))
        case script.ControlRun():
            meter = home.meter(step.meter)
            draft.controls.append(
                ControlTest(
                    step.value,
                    meter.unit,
                    moment_in(home, step.at),
                    meter.name,
                    meter.keeper,
                    flagged=step.flagged,
                )
            )
        case script.KetoneRun():
            moment = moment_in(home, step.at)
            stamp = Stamp(moment.wall, step.value, "mmol/L")
            draft.ketones.append(Ketone(step.value, moment, home.keepers[0], stamp))
        case script.ClockSet():
            moment = moment_in(home, step.at)
            shown = datetime.fromisoformat(step.shown or step.at)
            draft.settings.append(ClockSetting(step.meter, moment, shown, step.cause))
        case script.NeverHappened():
            first, end = datetime.fromisoformat(step.at), datetime.fromisoformat(step.until)
            draft.results = [each for each in draft.results if not first <= each.moment.local < end]
        case script.Left():
            trace = step.trace
            draft.change(
                step.at, step.until, lambda each: replace(each, trace=trace), meter=step.meter
            )
        case script.Noted():
            note = step.note
            draft.change(step.at, step.at + ":01", lambda each: replace(each, note=note))
        case script.Tagged():
            tag = step.tag
            draft.change(step.at, step.until, lambda each: replace(each, tags=(*each.tags, tag)))


def _from_truth(home: Household, test: Truth) -> Result:
    wall = test.taken_at.isoformat(timespec="minutes")
    return replace(_result(home, wall, test.value, test.meter), mark=test.mark)


def _result(home: Household, wall: str, value: str, meter: str | None) -> Result:
    moment = moment_in(home, wall)
    kept = home.meter(meter) if meter else home.meters[0]
    away = [each.place for each in home.journeys if each.zone == moment.zone]
    return Result(
        glucose=Glucose(value, home.wishes.unit),
        moment=moment,
        meter=meter,
        keeper=kept.keeper,
        place=away[0] if away else kept.place,
    )


def _added(home: Household, step: script.Added) -> Result:
    plain = _result(home, step.at, step.value, step.meter)
    unit = step.unit or home.wishes.unit
    written = step.written_unit or unit
    return replace(
        plain,
        glucose=Glucose(step.value, unit),
        mark=step.mark,
        hands=step.hands,
        note=step.note,
        trace=Trace.METER if step.meter else Trace.PAPER,
        stamp=Stamp(step.at, step.value, written.value),
    )


def _paper_only(home: Household, step: script.PaperOnly) -> Result:
    return replace(
        _result(home, step.at, step.value, None),
        keeper=step.keeper,
        place=step.place,
        trace=Trace.UNCONFIRMED,
        standing=Standing.SET_ASIDE,
        standing_why=NOT_IN_MEMORY,
    )
