"""What came of bringing two copies of a diary together, in numbers."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any


@dataclass(slots=True)
class Counts:
    """What came of the rows of one kind.

    `new` were only there; `same` are alike on both sides, `met` of these under two uids; `changed`
    and `deleted` say that a row here follows the other copy; `erased` were emptied there.
    """

    new: int = 0
    same: int = 0
    met: int = 0
    changed: int = 0
    deleted: int = 0
    erased: int = 0


@dataclass(slots=True)
class Brought:
    """What bringing together did: of readings, of all other records; entries; what is to settle."""

    readings: Counts = field(default_factory=Counts)
    others: Counts = field(default_factory=Counts)
    entries: int = 0
    to_settle: int = 0
    private: int = 0  # notes that the other copy keeps to itself

    @property
    def is_nothing(self) -> bool:
        """Whether the other copy had nothing that this one lacks."""
        return not (self.entries or self.to_settle) and not any(
            counts.new or counts.changed or counts.deleted or counts.erased
            for counts in (self.readings, self.others)
        )

    def told(self) -> dict[str, Any]:
        """As plain values, for the words of an entry."""
        return asdict(self)
