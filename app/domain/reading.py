"""One reading with everything that gives it meaning, and the other things a diary holds."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntFlag, StrEnum
from uuid import UUID

from app.domain.clock import Moment
from app.domain.glucose import Glucose
from app.domain.marks import Mark


class Standing(StrEnum):
    """Whether a reading counts in figures."""

    COUNTED = "counted"
    SET_ASIDE = "set_aside"
    NOT_MINE = "not_mine"

    @property
    def words(self) -> str:
        """The standing in plain words."""
        return self.value.replace("_", " ")


class Doubt(IntFlag):
    """Why a reading is in doubt: one bit for each reason."""

    NONE = 0
    HANDS = 1
    VIAL = 2
    CONTROL = 4
    CLOCK = 8
    DEVICE = 16
    SITE = 32
    UNIT = 64
    HEAT = 128

    @property
    def words(self) -> str:
        """The reason in plain words; several in a row."""
        return ", ".join(words for bit, words in _DOUBT_WORDS.items() if bit & self)


_DOUBT_WORDS = {
    Doubt.HANDS: "hands not washed",
    Doubt.VIAL: "strips past their last good day",
    Doubt.CONTROL: "a control test failed",
    Doubt.CLOCK: "the clock of the meter may be wrong",
    Doubt.DEVICE: "the meter noted a fault",
    Doubt.SITE: "not from the fingertip when it should be",
    Doubt.UNIT: "not in the unit of the meter",
    Doubt.HEAT: "the kit was in heat or cold, not tested since",
}


STANDINGS: tuple[Standing, ...] = tuple(Standing)


@dataclass(frozen=True, slots=True)
class Stamp:
    """The raw side of a record, as the device, the file or the paper had it."""

    wall: str | None = None
    value: str | None = None
    unit: str | None = None
    code: str | None = None


@dataclass(frozen=True, slots=True)
class NewReading:
    """A reading that is about to be written."""

    glucose: Glucose
    moment: Moment | None
    time_from: str = "typed"  # now, typed, file, meter, paper
    time_state: str = "sure"  # sure, repaired, asked, gap, overlap, future, undated
    time_precision: str = "minute"  # second, minute, slot, day
    mark: Mark = Mark.NONE
    mark_from: str | None = None  # person, file, accepted
    after_min: int | None = None
    site: str | None = None
    site_detail: str | None = None
    hands: str = "unknown"  # washed, not, unknown
    standing: Standing = Standing.COUNTED
    standing_why: str | None = None
    odd_ok: bool = False
    stamp: Stamp = field(default_factory=Stamp)
    note: str | None = None
    note_is_private: bool = False  # it stays in the copy of the diary where it was written
    tags: tuple[str, ...] = ()
    keeper: str | None = None
    place: str | None = None
    meter_id: int | None = None
    vial_id: int | None = None  # only where it was said


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as the diary holds it. `mark` is a code, which a newer list may have added."""

    id: int
    uid: UUID
    glucose: Glucose
    moment: Moment | None
    mark: str
    mark_from: str | None
    after_min: int | None
    site: str | None
    site_detail: str | None
    hands: str
    standing: Standing
    standing_why: str | None
    doubt: Doubt
    odd_ok: bool
    time_from: str
    time_state: str
    time_precision: str
    stamp: Stamp
    origin: str
    entered_at: int
    amended: bool
    note: str | None
    tags: tuple[str, ...]
    keeper: str | None
    place: str | None = None
    note_is_private: bool = False  # kept for this copy of the diary alone

    @property
    def added_later(self) -> bool:
        """Whether it was typed more than two hours after its time."""
        return (
            self.origin == "typed"
            and self.moment is not None
            and self.entered_at - self.moment.instant > 2 * 3600
        )
