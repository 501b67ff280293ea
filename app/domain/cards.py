"""Cards on technique: how a test is done well, in a few sentences, each with its source.

The texts are in resources/cards.toml.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache

from app.domain.shipped import shipped

FEWER_WORDS = 70  # of a card, so that it is read; a rule of this diary
SURE = ("read", "read second-hand", "from memory", "common practice")


@dataclass(frozen=True, slots=True)
class Card:
    """One card; `sure` says how sure its source is, one of `SURE`."""

    key: str
    title: str
    says: str
    source: str
    sure: str

    @property
    def source_line(self) -> str:
        """The source with how sure it is, where it was not read itself."""
        if self.sure in ("read", "common practice"):
            return f"{self.source}."
        return f"{self.source} ({self.sure})."


@lru_cache(maxsize=1)
def technique_cards() -> tuple[Card, ...]:
    """Every card, in the order in which a test goes."""
    texts = tomllib.loads(shipped("resources", "cards.toml").read_text(encoding="utf-8"))
    return tuple(Card(key, **found) for key, found in texts.items())
