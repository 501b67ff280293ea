"""Kill -9 at random moments of a command, over and over on the same files.

That the page cache outlives the process is known: this tries that every state is whole and that
what was acknowledged is there, not that it survives a power cut (for that see points.py).
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from pathlib import Path

from tests.faults.acks import Acks
from tests.faults.child import forked, killed_after
from tests.faults.jobs import WATCHED, Job
from tests.faults.report import Found
from tests.faults.warm import warm

_FOREVER = 1_000_000


def kill_at_random(
    job: Job,
    folder: Path,
    *,
    rounds: int,
    seed: int,
    setup: Callable[[], None] | None = None,
    control: str = "",
) -> Found:
    """Kill a command that runs again and again, check, and go on with what is left.

    With `control`, which `setup` has put into the child, it ends at the first thing broken.
    """
    chance = random.Random(f"{job.name} {seed}")
    place = _prepared(job, folder / "0")
    length = _length(job, folder / "first")
    killed = inside = acknowledged = 0
    broken: list[str] = []
    for number in range(1, rounds + 1):
        if job.fresh and number > 1:
            shutil.rmtree(place)
            place = _prepared(job, folder / str(number))
        said = folder / "said"
        child = forked(lambda at=place: _endless(job, at, setup), said)  # type: ignore[misc]
        if killed_after(child, chance.random() * length):
            killed += 1
        elif "Traceback" in said.read_text(errors="replace"):
            broken.append(f"a traceback: {said.read_text(errors='replace')[-500:]}")
        inside += any(_journals(place))
        found = _broken(job, place)
        broken += [f"kill {number}: {each}" for each in found]
        acknowledged += len(Acks.of(place / "acks").done) if job.fresh else 0
        if found:
            if control:
                break
            shutil.rmtree(place)
            place = _prepared(job, folder / f"after {number}")
    if not job.fresh:
        acknowledged = len(Acks.of(place / "acks").done)
    seen = {"killed": killed, "inside a change": inside, "acknowledged": acknowledged}
    return Found("kill -9", job.name, rounds, tuple(broken), control, seen=dict(seen))


def _prepared(job: Job, place: Path) -> Path:
    place.mkdir(parents=True)
    job.prepare(place)
    return place


def _length(job: Job, place: Path) -> float:
    """How long three of them take, so that a kill meets each part of one."""
    warm(job, place)
    return warm(job, place)


def _endless(job: Job, place: Path, setup: Callable[[], None] | None) -> int:
    if setup:
        setup()
    return job.run(place, Acks.of(place / "acks"), _FOREVER)


def _broken(job: Job, place: Path) -> list[str]:
    return job.broken(place, Acks.of(place / "acks"))


def _journals(place: Path) -> list[Path]:
    return [each for each in (place / WATCHED).rglob("*-journal") if each.stat().st_size]
