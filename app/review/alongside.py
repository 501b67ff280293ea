"""What else lies in a window of days and could make two parts of it differ."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from app.domain.clock import Period
from app.domain.person import Person
from app.store.alongside import kit_dates, repaired_between, visits_between
from app.store.diary import Diary
from app.store.spans import changes_between, spans_between

Kind = Literal["new vial", "new meter", "clock repaired", "days", "change", "visit", "lab"]

# A stretch that says where a person lives, not what happened on a day.
_ORDINARY = frozenset({"term"})


@dataclass(frozen=True, slots=True)
class Other:
    """One thing with its days (both ends included), and what it is in a few words.

    `is_apart` marks days that are sick days or were set aside.
    """

    kind: Kind
    first: date
    last: date
    words: str
    is_apart: bool = False

    @property
    def sentence(self) -> str:
        """What and when: "new vial 12 Feb (lot B7)"."""
        return f"{self.words} {days_words(self.first, self.last)}"


def alongside(
    diary: Diary, person: Person, window: Period, *, but_change: int | None = None
) -> tuple[Other, ...]:
    """Everything of the window, by its first day.

    Parameters
    ----------
    window : Period
        Whole days, both ends included.
    but_change : int, optional
        The local id of the change that is asked about: it is left out.
    """
    ends = window.first.toordinal(), window.last.toordinal()
    found = []
    for kit in kit_dates(diary, person, *ends):
        day = date.fromordinal(kit.day)
        if kit.kind == "vial":
            of = f" for {kit.meter}" if kit.meter else ""
            found.append(Other("new vial", day, day, f"new vial{of}"))
        else:
            found.append(Other("new meter", day, day, f"new meter {kit.name}"))
    for clock in repaired_between(diary, person, *ends):
        first, last = date.fromordinal(clock.first_day), date.fromordinal(clock.last_day)
        readings = f"{clock.n} reading{'' if clock.n == 1 else 's'}"
        found.append(
            Other("clock repaired", first, last, f"clock of {clock.meter} repaired, {readings},")
        )
    for span in spans_between(diary, person, *ends):
        if span.kind in _ORDINARY and not span.set_aside:
            continue
        first = date.fromordinal(span.first_day)
        last = window.last if span.last_day is None else date.fromordinal(span.last_day)
        kind = span.kind.replace("_", " ")
        said = f"{kind} days ({span.text})" if span.text else f"{kind} days"
        apart = span.set_aside or span.kind in ("sick", "set_aside")
        found.append(Other("days", first, last, said, apart))
    for change in changes_between(diary, person, *ends):
        if change.id != but_change:
            day = date.fromordinal(change.day)
            another = "change" if but_change is None else "another change"
            found.append(Other("change", day, day, f"{another} ({change.what})"))
    for visit in visits_between(diary, person, *ends):
        day = date.fromordinal(visit.day)
        found.append(Other("visit", day, day, "visit"))
    return tuple(sorted(found, key=lambda other: (other.first, other.kind, other.words)))


def days_words(first: date, last: date) -> str:
    """Days as people read them: "12 Feb", "9 – 12 Feb", "30 Jan – 2 Feb"."""
    end = f"{last.day} {last:%b}"
    if first == last:
        return end
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} – {end}"
    return f"{first.day} {first:%b} – {end}"
