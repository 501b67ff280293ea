"""Another program holds the diary, for 3 seconds and for 30; two programs write at once."""

from __future__ import annotations

import os
import signal
import sqlite3
import threading
from collections.abc import Callable
from pathlib import Path

from tests.faults.acks import Acks
from tests.faults.child import DONE, STOPPED, ended, forked
from tests.faults.jobs import Add, diary_in
from tests.faults.promises import broken_in, one
from tests.faults.report import Found


def hold_it(
    folder: Path,
    *,
    seconds: float,
    setup: Callable[[], None] | None = None,
    control: str = "",
) -> Found:
    """Add a reading while another program writes for so long.

    Up to the 5 seconds that a save waits it must be saved; beyond, one sentence says so and the
    next one is saved. A save is done twice where it is refused, so it waits up to 10 seconds.
    """
    job, acks = Add(), folder / "acks"
    folder.mkdir(exist_ok=True)
    job.prepare(folder)
    ready, tell = os.pipe()
    holder = forked(lambda: _hold(diary_in(folder), seconds, tell), folder / "said of holder")
    os.read(ready, 1)
    code = ended(forked(lambda: _add(job, folder, acks, setup), folder / "said"))
    said = (folder / "said").read_text(errors="replace")
    os.kill(holder, signal.SIGKILL)
    ended(holder)
    short = seconds < 5
    broken = job.broken(folder, Acks.of(acks))
    if code != (DONE if short else STOPPED) or "Traceback" in said:
        broken.append(f"it ended with {code}: {said[-300:]}")
    if not short and "Another program is writing" not in said:
        broken.append(f"it did not say why: {said[-300:]}")
    if not control and ended(forked(lambda: _add(job, folder, acks, None), folder / "said")):
        broken.append("afterwards nothing could be saved")
    return Found(f"locked {seconds:g} s", job.name, 1, tuple(broken), control)


def write_at_once(
    folder: Path, *, each: int, setup: Callable[[], None] | None = None, control: str = ""
) -> Found:
    """Two programs add readings at the same time, so many each."""
    job = Add()
    folder.mkdir(exist_ok=True)
    job.prepare(folder)
    mine = [folder / "acks 0", folder / "acks 1"]
    for number, acks in enumerate(mine):
        Acks(acks).begin(number * 10_000)
    children = [
        forked(lambda at=acks: _many(job, folder, at, each, setup), folder / f"said {acks.name}")  # type: ignore[misc]
        for acks in mine
    ]
    codes = [ended(child) for child in children]
    broken = broken_in(diary_in(folder))
    done = sum(len(Acks.of(acks).done) for acks in mine)
    broken += [f"one ended with {code}" for code in codes if code != DONE]
    there = one(diary_in(folder), "SELECT count(*) FROM reading")
    if there != 2 * each:
        broken.append(f"{there} readings of {2 * each}, {done} acknowledged")
    return Found("two at once", job.name, 2 * each, tuple(broken), control)


def _hold(diary: Path, seconds: float, tell: int) -> int:
    connection = sqlite3.connect(diary, isolation_level=None)
    connection.execute("BEGIN IMMEDIATE")
    os.write(tell, b"!")
    threading.Event().wait(seconds)
    connection.execute("ROLLBACK")
    connection.close()
    return DONE


def _add(job: Add, folder: Path, acks: Path, setup: Callable[[], None] | None) -> int:
    if setup:
        setup()
    try:
        return job.run(folder, Acks.of(acks), 1)
    except RuntimeError:
        return STOPPED


def _many(job: Add, folder: Path, acks: Path, each: int, setup: Callable[[], None] | None) -> int:
    if setup:
        setup()
    return job.run(folder, Acks.of(acks), each)
