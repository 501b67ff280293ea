"""The calls about bringing copies together, off the GUI thread; they import what they need."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from app.domain.steps import Step
from app.store.diary import Diary

if TYPE_CHECKING:
    from app.work.leftovers import Answered, Leftover, Leftovers, OpenPair
    from app.work.together import Together


def look(diary: Diary, file: Path, now: datetime, step: Step) -> Together:
    """Say what bringing another copy in would give."""
    from app.work.together import look_at

    return look_at(diary, file, now=now, step=step)


def bring(diary: Diary, file: Path, now: datetime, step: Step) -> Together:
    """Bring another copy in, after a backup."""
    from app.work.together import bring_together

    return bring_together(diary, file, now=now, step=step)


def open_now(diary: Diary) -> Leftovers:
    """What is open."""
    from app.work.leftovers import leftovers

    return leftovers(diary)


def rule(diary: Diary, pairs: Sequence[OpenPair], verdict: str, now: datetime) -> Answered:
    """Say of pairs whether each is one or two."""
    from app.work.leftovers import say_of_pairs

    return say_of_pairs(diary, pairs, verdict, now=now)


def settle(diary: Diary, leftover: Leftover, keep: str, now: datetime) -> Answered:
    """Keep one of two versions."""
    from app.work.leftovers import settle_it

    return settle_it(diary, leftover, keep, now=now)
