"""One follow-up: what it is about, when it is due, and the words with their source."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from app.domain.cautions import CareTexts, caution_texts
from app.domain.follow_ups import FollowRule, follow_rule, follow_texts
from app.domain.glucose import Glucose
from app.review.schedule import Ground
from app.statistics.schedule.settle import State
from app.statistics.schedule.walls import wall_at, zone_at


@dataclass(frozen=True, slots=True)
class FollowUp:
    """Something that follows from what was entered.

    `key` names it for good, whatever the clocks do · `kind` is its code · `at` when it is due,
    `over` from when it is overdue, `until` the last instant at which it is asked for (UTC seconds;
    None: always) · `wall` when it is due, naive, by the clocks of the place · `title` and `says`
    are what is said, `discreet` the same without a value · `reading_id` the reading it follows
    from · `urgent` it calls for help.
    """

    key: str
    kind: str
    at: int
    wall: datetime
    over: int
    until: int | None
    state: State
    title: str
    says: tuple[str, ...]
    care_team_line: str
    source: str
    discreet: str
    reading_id: int | None = None
    urgent: bool = False

    @property
    def lines(self) -> tuple[str, ...]:
        """Title, sentences and the care-team line, in the order they are read."""
        return (self.title, *self.says, self.care_team_line)


@dataclass(frozen=True, slots=True)
class Times:
    """When a follow-up is due, overdue and past, in UTC seconds, and whether it was done."""

    at: int
    over: int
    until: int | None
    done: bool = False

    def state(self, now: int) -> State:
        """What has become of it at a time."""
        if self.done:
            return State.DONE
        if now < self.at:
            return State.UPCOMING
        return State.MISSED if self.until is not None and now > self.until else State.DUE


@dataclass(frozen=True, slots=True)
class Maker:
    """What every follow-up of one look is made from: the place, the person's choices and texts."""

    ground: Ground
    rules: tuple[FollowRule, ...]
    care: CareTexts
    now: int

    def rule(self, kind: str) -> FollowRule:
        """The person's choice for a kind."""
        return follow_rule(self.rules, kind)

    def is_on(self, kind: str) -> bool:
        """Whether the person wants a kind."""
        return self.rule(kind).on

    def wall(self, instant: int) -> datetime:
        """The wall time of wherever the person is, naive."""
        places = self.ground.places
        return wall_at(instant, zone_at(instant, places)).replace(tzinfo=None)

    def make(
        self,
        key: str,
        kind: str,
        times: Times,
        *,
        reading_id: int | None = None,
        urgent: bool = False,
        says: tuple[str, ...] | None = None,
        first: tuple[str, ...] = (),
        **words: Any,
    ) -> FollowUp:
        """A follow-up with the texts of its kind, filled with `words`; `says` in place of its own.

        `first` stands before them as it is: nothing is filled into it. The care
        team's own emergency number stands where there is one.
        """
        texts, general = follow_texts()[kind], caution_texts()
        emergency = (self.care.emergency_number or "").strip() or general["local_number"]
        said = {**words, "emergency": emergency}
        own = tuple(each.format(**said) for each in texts.get("says", ()))
        return FollowUp(
            key=key,
            kind=kind,
            at=times.at,
            wall=self.wall(times.at),
            over=times.over,
            until=times.until,
            state=times.state(self.now),
            title=texts["title"].format(**said),
            says=(*first, *(own if says is None else says)),
            care_team_line=general["care_team"].format(**said),
            source=texts["source"],
            discreet=texts["discreet"],
            reading_id=reading_id,
            urgent=urgent,
        )


def value_words(glucose: Glucose) -> str:
    """A result as it was entered, with its unit; "HI" and "LO" speak for themselves."""
    shown = glucose.shown(glucose.unit)
    return shown if glucose.number is None else f"{shown} {glucose.unit}"
