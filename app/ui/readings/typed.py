"""What stands in the fields of the form: of a reading as it is, and as it was changed by hand."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import datetime

from app.domain.glucose import Bound, Unit
from app.domain.marks import MARKS, Mark, known_mark
from app.domain.person import Person
from app.domain.reading import Reading
from app.domain.sites import FINGERS, SIDES, SITES, site_words
from app.ui.reading_words import mark_name
from app.ui.readings.words import tr
from app.ui.words import count_words, number_words

Site = tuple[str | None, str | None]

NO_SITE: Site = (None, None)
HANDS = ("unknown", "washed", "not")


@dataclass(frozen=True, slots=True)
class Typed:
    """The text or choice of each field."""

    value: str
    unit: Unit
    time: str
    mark: str
    after_min: str
    site: Site
    hands: str
    note: str
    note_is_private: bool
    tags: str
    keeper: str

    def changed_from(self, other: Typed) -> set[str]:
        """The names of the fields that differ."""
        return {
            each.name
            for each in fields(self)
            if getattr(self, each.name) != getattr(other, each.name)
        }


@dataclass(slots=True)
class OpenReading:
    """The reading that is open, and what its fields said before anything was typed."""

    reading: Reading
    before: Typed
    value_sure: bool = False
    time_sure: bool = False


def typed_of(reading: Reading, person: Person) -> Typed:
    """What the fields say of a reading as it is."""
    glucose = reading.glucose
    return Typed(
        value="" if glucose.bound is Bound.NO_VALUE else number_words(_as_entered(reading)),
        unit=glucose.unit,
        time="" if reading.moment is None else time_text(reading.moment.local, person),
        mark=reading.mark,
        after_min="" if reading.after_min is None else count_words(reading.after_min),
        site=(reading.site, reading.site_detail),
        hands=reading.hands,
        note=reading.note or "",
        note_is_private=reading.note_is_private,
        tags=", ".join(reading.tags),
        keeper=reading.keeper or "",
    )


def time_text(wall: datetime, person: Person) -> str:
    """A time with its day as it can be typed again, in the person's order and clock."""
    clock = f"{wall:%H:%M}" if person.clock == 24 else f"{wall:%I:%M} {wall:%p}".lower().lstrip("0")
    if person.date_order == "ymd":
        return f"{wall:%Y-%m-%d} {clock}"
    if person.date_order == "mdy":
        return f"{wall.month}/{wall.day}/{wall.year} {clock}"
    return f"{wall.day}/{wall.month}/{wall.year} {clock}"


def tags_of(text: str) -> tuple[str, ...]:
    """The tags in a line: parted by commas, with or without "#"."""
    found = (" ".join(part.strip().lstrip("#").split()) for part in text.split(","))
    return tuple(dict.fromkeys(label for label in found if label))


def marks_to_choose(code: str) -> list[tuple[str, str]]:
    """Every mark with its code; one of a newer list that the reading has stands last."""
    offered = [(mark_name(mark), mark.value) for mark in (Mark.NONE, *MARKS[:-1])]
    if known_mark(code) is None:
        offered.append((code.replace("_", " "), code))
    return offered


def sites_to_choose(site: Site) -> list[tuple[str, Site]]:
    """Every site with side and finger, and the one that the reading has."""
    offered: list[Site] = [NO_SITE]
    for code in SITES:
        offered.append((code, None))
        if code == "finger":
            offered += [(code, f"{side} {finger}") for side in SIDES for finger in FINGERS]
            offered += [(code, f"{side} hand") for side in SIDES]
        elif code != "other":
            offered += [(code, side) for side in SIDES]
    if site not in offered:
        offered.append(site)
    return [
        ("" if code is None else site_words(code, detail), (code, detail))
        for code, detail in offered
    ]


def as_it_came(reading: Reading) -> str:
    """The raw side of a reading, which no correction touches."""
    stamp = reading.stamp
    said = " ".join(part for part in (stamp.value, stamp.unit) if part)
    wall = (stamp.wall or "").replace("T", " ")
    parts = ", ".join(part for part in (said, wall, stamp.code) if part)
    return tr("As it came: {raw}").format(raw=parts) if parts else ""


def _as_entered(reading: Reading) -> str:
    glucose = reading.glucose
    sign = {Bound.BELOW: "<", Bound.ABOVE: ">"}.get(glucose.bound, "")
    if glucose.value is None:
        return {Bound.BELOW: "LO", Bound.ABOVE: "HI"}.get(glucose.bound, "")
    return sign + glucose.value
