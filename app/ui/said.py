"""What the notice bar says."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence in the past tense, and whether Undo takes back what it speaks of."""

    sentence: str
    undo: bool = True
