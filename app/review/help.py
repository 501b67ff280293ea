"""What each figure means: one line, its formula and source, what it needs, and a caution.

The texts are in resources/figures.toml; what a figure needs comes from the one place that decides
it, so that the words keep up with the numbers.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache

from app.domain.errors import Refused
from app.domain.shipped import shipped
from app.review.figure import minimum_words
from app.statistics import enough

SURE = (
    "read",
    "read second-hand",
    "from memory",
    "textbook",
    "common practice",
    "a rule of this diary",
)
ALWAYS = "none: it is always shown"


@dataclass(frozen=True, slots=True)
class FigureHelp:
    """The help text of one figure.

    `sure` says how sure the source is, one of `SURE` · `minimum` what the figure needs before it is
    shown.
    """

    key: str
    title: str
    meaning: str
    formula: str
    source: str
    sure: str
    minimum: str
    caution: str


@lru_cache(maxsize=1)
def all_help() -> dict[str, FigureHelp]:
    """The help text of every figure by its key, in the order in which a review is read."""
    texts = tomllib.loads(shipped("resources", "figures.toml").read_text(encoding="utf-8"))
    return {key: _help(key, found) for key, found in texts.items()}


def help_for(name: str) -> FigureHelp:
    """The help text of a figure by its key or title, without regard to case: "MAGE", "cv", "n".

    Raises
    ------
    Refused
        No figure has that name.
    """
    wanted = " ".join(name.casefold().replace("_", " ").replace("-", " ").split())
    for each in all_help().values():
        if wanted in _names(each):
            return each
    raise Refused(f'No figure is called "{name}". Say explain alone to see them all.')


def _names(each: FigureHelp) -> set[str]:
    """What it answers to: its key, its title, and its title's two halves: "swings", "mage"."""
    title = each.title.casefold().replace("-", " ")
    short = title.partition(" (")
    return {each.key.replace("_", " "), title, short[0], short[2].rstrip(")")} - {""}


def _help(key: str, found: dict[str, str]) -> FigureHelp:
    minimum = found.get("minimum")
    return FigureHelp(
        key=key,
        title=found["title"],
        meaning=found["meaning"],
        formula=found["formula"],
        source=found["source"],
        sure=found["sure"],
        minimum=ALWAYS if minimum is None else minimum_words(getattr(enough, minimum)),
        caution=found["caution"],
    )
