"""Random runs of changes, undone to the start and done again: `python -m tests.faults.undo`.

Each run begins with a copy of the same small diary, makes changes at random, by commands where
there is one, and takes some back on the way, older ones too. Then everything is undone, which
must give the state of the start, and done again, which must give the state of the end. Every
command opens the file anew, so nothing is remembered but what the file holds.

The control leaves out one undo: the state of the start must then be missed.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from app.domain.errors import DiaryError
from app.domain.glucose import Unit
from app.domain.marks import MARKS
from app.domain.person import Person
from app.store.check import check_diary
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.installation import installation_id
from app.store.people import persons
from app.store.readings import readings_of
from app.store.state_hash import state_hash
from app.work.bin import in_bin
from app.work.edit import (
    Edit,
    count_again,
    edit_reading,
    put_in_bin,
    set_aside,
    set_mark,
    set_not_mine,
)
from app.work.entry_line import Line, State
from app.work.history import history
from app.work.retype import typed_value
from tests.commands import Terminal
from tests.households import NOW

SHORT, LONG = 50, 1000  # runs
_STEPS = (2, 6)  # changes in one run
_TAGS = ("run", "swim", "sick")
_KEEPERS = ("Odalys", "Bram")
_FILES = {
    "one.csv": ("01,07:00,6.2", "02,07:00,7.9", "03,07:00,5.4"),
    "two.csv": ("02,07:00,7.9", "03,07:00,5.4", "04,12:30,8.8", "no date,7,"),
}


@dataclass(slots=True)
class Run:
    """One run: its own copy of the diary, its own chance, its own clock."""

    terminal: Terminal
    chance: random.Random
    base: int  # the newest entry of the diary that it began with
    steps: list[str] = field(default_factory=list)
    now: datetime = NOW

    def open(self) -> Diary:
        """Open the diary as a command does."""
        return open_diary(self.terminal.diary, installation_id(self.terminal.folder / "state"))

    def state(self) -> str:
        """The state hash of the file as it lies there."""
        with self.open() as diary:
            return state_hash(diary)

    def type(self, *words: str) -> bool:
        """Type a command; whether it was done."""
        self.steps.append(" ".join(words))
        done = self.terminal.type("--person", "Tilde", *words, now=self.now)
        if done.code not in (0, 1) or "Traceback" in done.err:
            raise AssertionError(f"{words} ended with {done.code}: {done.err}")
        return done.code == 0

    def lines(self) -> list[Line]:
        """The changes since the start that stand, the newest first."""
        with self.open() as diary:
            found = history(diary)
        return [each for each in found if each.entry > self.base and each.state is State.STANDS]


def begin(folder: Path) -> Terminal:
    """Make the small diary that every run begins with."""
    terminal = Terminal(folder)
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    for number, line in enumerate(("6.1 7:00 #run", "7.4 12:10 slept badly", "5.2 18:30")):
        terminal.ok("add", line, now=NOW + timedelta(minutes=number))
    for name, rows in _FILES.items():
        text = "".join(f"2026-03-{row}\n" for row in rows)
        head = "Date,Time,Glucose (mmol/L)\n"
        (folder / name).write_text(head + text, encoding="utf-8")
    return terminal


def one_run(start: Terminal, seed: int, *, folder: Path, skip_an_undo: bool = False) -> Run:
    """Make changes at random, undo all of them, do them again.

    Raises
    ------
    AssertionError
        A state was not the one that it must be.
    """
    shutil.copytree(start.folder, folder)
    terminal = Terminal(folder)
    run = Run(terminal, random.Random(seed), base=0)
    with run.open() as diary:
        run.base = max(line.entry for line in history(diary))
    before = run.state()

    after = before
    for _ in range(run.chance.randint(*_STEPS)):
        after = _step(run, after)

    undone = 0
    while run.lines()[1 if skip_an_undo else 0 :]:
        _must(run, run.type("undo", "--edited", "take-too"), "an undo was refused")
        undone += 1
    _must(run, run.state() == before, "undone to the start, the state is another")
    for _ in range(undone):
        _must(run, run.type("redo"), "a redo was refused")
    _must(run, run.state() == after, "done again, the state is another than at the end")
    with run.open() as diary:
        wrong = check_diary(diary).wrong
    _must(run, not wrong, f"the check says {wrong}")
    return run


def _must(run: Run, holds: bool, trouble: str) -> None:
    if not holds:
        raise AssertionError(f"{trouble}, after: {'; '.join(run.steps)}")


def _step(run: Run, before: str) -> str:
    """Do one thing at random; returns the state after it."""
    run.now += timedelta(minutes=1)
    do = run.chance.choice(_WHAT)
    run.steps.append(f"[{do.__name__.strip('_')}]")
    was_done = do(run)
    after = run.state()
    _must(run, was_done or after == before, "a refusal changed something")
    return after


def _add(run: Run) -> bool:
    value = f"{run.chance.randint(30, 150) / 10} {run.chance.randint(0, 20)}:05"
    tag = f" #{run.chance.choice(_TAGS)}" if run.chance.random() < 0.5 else ""
    keeper = ("--keeper", run.chance.choice(_KEEPERS)) if run.chance.random() < 0.3 else ()
    return run.type("add", f"{value}{tag}", "--sure", *keeper)


def _import(run: Run) -> bool:
    return run.type("import", str(run.terminal.folder / run.chance.choice(sorted(_FILES))))


def _targets(run: Run) -> bool:
    return run.type("person", "targets", "ispad-2022", "--from", "2026-03-01")


def _remove(run: Run) -> bool:
    return run.type("person", "remove", "Tilde", "--name-again", "Tilde")


def _restore(run: Run) -> bool:
    with run.open() as diary:
        codes = [item.code for item in in_bin(diary, now=run.now).items]
    if not codes:
        return False
    return run.type("bin", "restore", *run.chance.sample(codes, min(len(codes), 2)))


def _undo(run: Run) -> bool:
    if not run.lines():
        return False
    return run.type("undo", "--edited", run.chance.choice(("keep", "take-too")))


def _undo_older(run: Run) -> bool:
    lines = run.lines()
    if not lines:
        return False
    entry = str(run.chance.choice(lines).entry)
    return run.type("undo", "--entry", entry, "--edited", run.chance.choice(("keep", "take-too")))


def _redo(run: Run) -> bool:
    return run.type("redo")


def _by_hand(run: Run) -> bool:
    """Change readings as the window does, where no command does it."""
    name = run.chance.choice(sorted(_BY_HAND))
    run.steps.append(name)
    with run.open() as diary:
        found = persons(diary)
        ids = [each.id for each in readings_of(diary, found[0])] if found else []
        if not ids:
            return False
        some = run.chance.sample(ids, run.chance.randint(1, min(3, len(ids))))
        try:
            _BY_HAND[name](run, diary, found[0], some)
        except DiaryError:
            return False
    return True


def _edit(run: Run, diary: Diary, person: Person, ids: list[int]) -> None:
    value = typed_value(
        f"{run.chance.randint(40, 120) / 10}", person, Unit.MMOL_L, now=run.now, sure=True
    )
    edit = Edit(
        value=value,
        note=run.chance.choice((None, "corrected", "read again")),
        tags=tuple(run.chance.sample(_TAGS, 1)),
        keeper=run.chance.choice((None, *_KEEPERS)),
    )
    edit_reading(diary, person, ids[0], edit, now=run.now)


_BY_HAND: dict[str, Callable[[Run, Diary, Person, list[int]], object]] = {
    "edit": _edit,
    "mark": lambda run, diary, person, ids: set_mark(
        diary, person, ids, run.chance.choice(MARKS), now=run.now
    ),
    "set aside": lambda run, diary, person, ids: set_aside(
        diary, person, ids, "wet strip", now=run.now
    ),
    "not mine": lambda run, diary, person, ids: set_not_mine(diary, person, ids, now=run.now),
    "count again": lambda run, diary, person, ids: count_again(diary, person, ids, now=run.now),
    "bin": lambda run, diary, person, ids: put_in_bin(diary, person, ids, now=run.now),
}
_WHAT: tuple[Callable[[Run], bool], ...] = (
    *(_add,) * 3,
    *(_import,) * 3,
    *(_by_hand,) * 6,
    *(_restore,) * 2,
    *(_undo,) * 2,
    *(_undo_older,) * 3,
    *(_redo,) * 2,
    _targets,
    _remove,
)


def control_fails(start: Terminal, folder: Path) -> bool:
    """Whether a run that leaves out one undo is noticed."""
    for seed in range(20):
        try:
            one_run(start, seed, folder=folder / f"control-{seed}", skip_an_undo=True)
        except AssertionError as trouble:
            if "undone to the start" in str(trouble):
                return True
    return False


def main(arguments: list[str]) -> int:
    """Run, say what came of it, and end with 1 where something did not hold."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults.undo")
    parser.add_argument("--long", action="store_true", help=f"{LONG} runs instead of {SHORT}")
    parser.add_argument("--seed", type=int, default=0, help="the first seed")
    options = parser.parse_args(arguments)
    runs, steps, broken = LONG if options.long else SHORT, 0, 0
    with TemporaryDirectory() as made:
        folder = Path(made)
        (folder / "start").mkdir()
        start = begin(folder / "start")
        for seed in range(options.seed, options.seed + runs):
            try:
                steps += len(one_run(start, seed, folder=folder / "run").steps)
            except AssertionError as trouble:
                broken += 1
                sys.stdout.write(f"seed {seed}: {trouble}\n")
            shutil.rmtree(folder / "run")
        failed = control_fails(start, folder)
    sys.stdout.write(
        f"undo: {runs} runs, {steps} commands and changes, {broken} broken; "
        f"control (one undo left out) {'failed, as it must' if failed else 'DID NOT FAIL'}\n"
    )
    return 1 if broken or not failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
