"""Starts the suites, each in a process of its own, and gathers what they found."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from tests.faults import disk
from tests.faults.report import Found, from_line
from tests.faults.shim import NOT_HERE, built, environment

ROOT = Path(__file__).resolve().parents[2]
COMMANDS = ("add", "bulk edit", "import", "create", "migrate", "backup", "restore")
SHIMMED = ("enospc", "eio", "power", "die")
MOUNTED = ("full", "read-only")
_WORKSHOPS = ("disk", "shim", "mount", "memory")
NO_FORK = "it needs a system that can fork"
_IN_MEMORY = Path("/dev/shm")


@dataclass(frozen=True, slots=True)
class Task:
    """One suite on one command, with its options as words; `control` names a wrong setting."""

    suite: str
    command: str
    words: tuple[str, ...] = ()
    control: str = ""

    @property
    def workshop(self) -> str:
        """What its process needs; tasks of one workshop share a process."""
        if self.suite in SHIMMED:
            return "shim"
        if self.suite in MOUNTED:
            return "mount"
        # Kills meet a real disk. For the others, what is synced is counted and not waited for.
        return "disk" if self.suite == "kill" else "memory"

    @property
    def rank(self) -> int:
        """Its place in the order in which tasks run."""
        return _WORKSHOPS.index(self.workshop)


def control_tasks() -> Iterator[Task]:
    """For each suite a setting with which it must find something broken."""
    yield Task("kill", "bulk edit", ("rounds=60",), "journal off")
    yield Task("kill", "import", ("rounds=60", "lines=2000"), "autocommit")
    yield Task("enospc", "bulk edit", ("step=3",), "journal off")
    yield Task("eio", "bulk edit", ("step=3",), "autocommit")
    yield Task("die", "bulk edit", ("step=3",), "journal off")
    yield Task("power", "add", ("step=3",), "sync off")
    yield Task("power", "add", (), "sync FULL")
    yield Task("full", "bulk edit", (), "autocommit")
    yield Task("read-only", "add", (), "a writable disk")
    yield Task("flip", "a bit or a byte", ("rounds=200",), "integrity_check alone")
    yield Task("locked", "add", ("seconds=3",), "no waiting")
    yield Task("two", "add", ("each=20",), "no waiting")


def short_tasks() -> Iterator[Task]:
    """What fits into two minutes: every suite, every command, far between."""
    for command in COMMANDS:
        yield Task("kill", command, ("rounds=12",))
    for mode, far in (("enospc", 1), ("eio", 2), ("power", 1)):
        yield Task(mode, "add", (f"step={far * 9}",))
        yield Task(mode, "bulk edit", (f"step={far * 9}",))
        yield Task(mode, "import", (f"step={far * 31}",))
        yield Task(mode, "create", (f"step={far * 89}",))
        yield Task(mode, "migrate", (f"step={far * 149}",))
        yield Task(mode, "backup", (f"step={far * 53}",))
        yield Task(mode, "restore", (f"step={far * 97}",))
    yield from _on_disks(("add", "import"))
    yield Task("flip", "a bit or a byte", ("rounds=60",))
    yield Task("flip", "a page or the end", ("rounds=24",))
    yield from _with_others(each=25)


def long_tasks(*, kills: int = 500) -> Iterator[Task]:
    """Every call, 500 kills a command, a thousand flips."""
    for command in COMMANDS:
        yield Task("kill", command, (f"rounds={kills}", "lines=2000"))
    for command in COMMANDS:
        for mode in ("enospc", "eio"):
            yield Task(mode, command)
            yield Task(mode, command, ("sticky",))
        yield Task("die", command)
        yield Task("power", command)
        yield Task("power", command, ("lose",))
    yield from _on_disks(("add", "bulk edit", "import", "backup", "restore"))
    yield Task("flip", "a bit or a byte", ("rounds=1000",))
    yield Task("flip", "a page or the end", ("rounds=300",))
    yield from _with_others(each=1000)


def ran(tasks: Iterable[Task]) -> Iterator[Found]:
    """Run tasks one after the other, sorted by what their processes need."""
    in_order = sorted(tasks, key=lambda task: task.rank)
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        for workshop, group in groupby(in_order, key=lambda task: task.workshop):
            shim = built(folder) if workshop == "shim" else None
            yield from _ran_in(workshop, list(group), folder, shim)


def _ran_in(workshop: str, tasks: list[Task], folder: Path, shim: Path | None) -> Iterator[Found]:
    why_not = _why_not(workshop, shim)
    if why_not:
        for task in tasks:
            yield Found(task.suite, task.command, control=task.control, not_run=why_not)
        return
    base = _IN_MEMORY if workshop != "disk" and os.access(_IN_MEMORY, os.W_OK) else folder
    listed = json.dumps([[each.suite, each.command, each.words, each.control] for each in tasks])
    alone = disk.ALONE if workshop == "mount" else ()
    words = [*alone, sys.executable, "-m", "tests.faults.workshop", str(base), listed]
    said = folder / "said"
    with (
        said.open("w") as trouble,
        subprocess.Popen(
            words,
            stdout=subprocess.PIPE,
            stderr=trouble,
            text=True,
            cwd=ROOT,
            env=environment(shim),
        ) as process,
    ):
        assert process.stdout is not None
        for line in process.stdout:
            found = from_line(line)
            if found:
                yield found
    if process.returncode:
        raise RuntimeError(said.read_text(errors="replace"))


def _on_disks(commands: tuple[str, ...]) -> Iterator[Task]:
    for command in commands:
        yield Task("full", command)
    yield Task("read-only", "add")
    yield Task("read-only", "bulk edit")


def _with_others(*, each: int) -> Iterator[Task]:
    yield Task("locked", "add", ("seconds=3",))
    yield Task("locked", "add", ("seconds=30",))
    yield Task("two", "add", (f"each={each}",))


def _why_not(workshop: str, shim: Path | None) -> str:
    if not hasattr(os, "fork"):
        return NO_FORK
    if workshop == "shim" and shim is None:
        return NOT_HERE
    return disk.not_here() if workshop == "mount" else ""
