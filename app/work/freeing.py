"""Letting go of very many rows without holding up other threads."""

from __future__ import annotations

from typing import Any

_AT_ONCE = 2000  # rows between two looks at what other threads want


def free_bit_by_bit(*lists: list[Any]) -> None:
    """Empty lists piece by piece: freed all at once, other threads would wait for it."""
    for rows in lists:
        while rows:
            del rows[-_AT_ONCE:]
