"""Kill -9 during backup and restore: python -m tests.faults.backups [--long].

Each kind is killed at every call that changes the disk's names or syncs, one after the other, and
then at random moments. What was acknowledged must be there, whatever has its name must be sound. A
control that does the same work carelessly must be caught out.
"""

from __future__ import annotations

import argparse
import os
import random
import select
import shutil
import signal
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from functools import partial
from pathlib import Path

from app.domain.errors import DiaryError
from app.store.backup_facts import (
    facts_beside,
    list_backups,
    sidecar,
    still_as_checked,
    write_facts,
)
from app.store.check import check_diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.state_hash import state_hash
from app.work.backup import backup_now
from app.work.restore import restore
from tests.households import INSTALLATION, NOW, new_diary, tilde, written

KILL_POINTS = ("fsync", "link", "rename", "replace", "unlink")
SHORT, LONG = 20, 500

Tell = Callable[[str], None]
Work = Callable[[Path, Tell], None]
Check = Callable[[Path, list[str]], list[str]]


@dataclass(frozen=True, slots=True)
class Kind:
    """Work that is killed, and the check of what it leaves; the check gives what is broken."""

    name: str
    work: Work
    check: Check


def main() -> int:
    """Run every kind and its control; 0 where nothing broke and each control was caught out."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--long", action="store_true", help=f"{LONG} random kills of each kind")
    kills = LONG if options.parse_args().long else SHORT
    failed = 0
    with tempfile.TemporaryDirectory() as place:
        template = _template(Path(place))
        check_restore = partial(_check_restore, states=_states(template))
        for kind, control in (
            (Kind("backup", _back_up, _check_backup), Kind("", _careless_backup, _check_backup)),
            (Kind("restore", _restore, check_restore), Kind("", _careless_restore, check_restore)),
        ):
            points, at_points = _at_every_point(kind, template)
            at_random = _at_random(kind, template, kills)
            _, caught = _at_every_point(control, template)
            print(
                f"{kind.name}: killed at {points} calls and {kills} random moments, "
                f"{len(at_points) + len(at_random)} broken; "
                f"control {'failed as it must' if caught else 'DID NOT FAIL'}"
            )
            for said in at_points + at_random:
                print(f"    {said}")
            failed += bool(at_points or at_random or not caught)
    return 1 if failed else 0


def _template(place: Path) -> Path:
    """A diary of six readings and, among its backups, one of when there were three."""
    folder = place / "template"
    folder.mkdir()
    with new_diary(folder) as diary:
        person = tilde(diary)
        for number in range(6):
            if number == 3:
                backup_now(diary, now=NOW - timedelta(days=1))
            written(diary, person, f"2026-03-12 0{number}:10", "5.6")
    return folder


def _states(template: Path) -> tuple[str, str]:
    (old,) = list_backups(template / "diary.thimblebook")
    return _said_by(template / "diary.thimblebook"), _said_by(old.path)


def _at_every_point(kind: Kind, template: Path) -> tuple[int, list[str]]:
    """Kill at the first call, the second and so on, until a run ends by itself."""
    broken: list[str] = []
    point = 0
    while True:
        with tempfile.TemporaryDirectory() as place:
            folder = Path(shutil.copytree(template, Path(place) / "home"))
            told, killed = _run(kind.work, folder, after=None, point=point + 1)
            broken += [f"at call {point + 1}: {said}" for said in kind.check(folder, told)]
        if not killed:
            return point, broken
        point += 1


def _at_random(kind: Kind, template: Path, kills: int) -> list[str]:
    draw = random.Random(7)
    broken: list[str] = []
    for number in range(kills):
        with tempfile.TemporaryDirectory() as place:
            folder = Path(shutil.copytree(template, Path(place) / "home"))
            told, _ = _run(kind.work, folder, after=draw.uniform(0, 0.15), point=None)
            broken += [f"kill {number + 1}: {said}" for said in kind.check(folder, told)]
    return broken


def _run(
    work: Work, folder: Path, *, after: float | None, point: int | None
) -> tuple[list[str], bool]:
    """Do the work in a child; gives what it acknowledged, and whether it was killed."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        status = 1
        try:
            if point is not None:
                _die_at(point)
            work(folder, partial(_tell, theirs))
            status = 0
        finally:
            os._exit(status)
    os.close(theirs)
    select.select([child_end := os.pidfd_open(child)], [], [], after)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    os.close(child_end)
    with open(ours, encoding="utf-8") as pipe:  # noqa: PTH123 - a pipe has no path
        told = pipe.read().splitlines()
    if os.WIFEXITED(status) and os.WEXITSTATUS(status):
        raise RuntimeError("the work itself failed")
    return told, os.WIFSIGNALED(status)


def _tell(pipe: int, said: str) -> None:
    os.write(pipe, f"{said}\n".encode())


def _die_at(point: int) -> None:
    left = point

    def counted(real: Callable[..., object], *given: object, **more: object) -> object:
        nonlocal left
        left -= 1
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(*given, **more)

    for name in KILL_POINTS:
        setattr(os, name, partial(counted, getattr(os, name)))


def _back_up(folder: Path, tell: Tell) -> None:
    """Write a reading, back up, and so on; each is told when it is done."""
    with open_diary(folder / "diary.thimblebook", INSTALLATION) as diary:
        (person,) = persons(diary)
        for number in range(7, 10):
            written(diary, person, f"2026-03-12 0{number}:10", "5.6")
            tell("saved")
            made = backup_now(diary, why="daily", now=NOW + timedelta(minutes=number))
            tell(f"backup {made.readings} {made.path}")


def _check_backup(folder: Path, told: list[str]) -> list[str]:
    path = folder / "diary.thimblebook"
    broken: list[str] = []
    saved = 6 + told.count("saved")
    try:
        with open_diary(path, INSTALLATION) as diary:
            found = check_diary(diary)
            broken += found.wrong
            if found.readings not in (saved, saved + 1):
                broken.append(f"{found.readings} readings in the diary, {saved} were acknowledged")
    except DiaryError as trouble:
        broken.append(f"the diary: {trouble}")
    for facts in list_backups(path):
        if not still_as_checked(facts):
            broken.append(f"{facts.path.name} is not what its name says")
    for line in told:
        if line.startswith("backup "):
            _, readings, name = line.split(maxsplit=2)
            kept = facts_beside(Path(name))
            if kept is None or not still_as_checked(kept) or kept.readings != int(readings):
                broken.append(f"{name} was acknowledged and is not there")
    with open_diary(path, INSTALLATION) as diary:
        backup_now(diary, now=NOW + timedelta(hours=1))  # and the next one works
    return broken


def _restore(folder: Path, tell: Tell) -> None:
    """Go back to the backup."""
    path = folder / "diary.thimblebook"
    restore(path, list_backups(path)[0].path, now=NOW)
    tell("restored")


def _check_restore(folder: Path, told: list[str], *, states: tuple[str, str]) -> list[str]:
    path = folder / "diary.thimblebook"
    new, old = states
    broken: list[str] = []
    try:
        found = _said_by(path)
        if found not in ((old,) if told else (old, new)):
            broken.append("the diary says something that it should not")
        kept = {_said_by(each.path): each.path for each in reversed(list_backups(path))}
        if new not in (*kept, found):
            broken.append("what the diary held is nowhere any more")
        elif found == old:
            restore(path, kept[new], now=NOW + timedelta(hours=1))
            if _said_by(path) != new:
                broken.append("it can't be undone")
    except DiaryError as trouble:
        broken.append(str(trouble))
    return broken


def _said_by(path: Path) -> str:
    with open_diary(path, INSTALLATION) as diary:
        wrong = check_diary(diary).wrong
        return "; ".join(wrong) or state_hash(diary)


def _careless_backup(folder: Path, tell: Tell) -> None:
    """A copy that has its name before it is whole."""
    path = folder / "diary.thimblebook"
    facts = list_backups(path)[0]
    content = facts.path.read_bytes()
    named = write_facts(facts, path.stem)
    with named.path.open("wb") as stream:
        for start in range(0, len(content), 65536):
            stream.write(content[start : start + 65536])
            stream.flush()
            os.fsync(stream.fileno())
    assert sidecar(named.path).exists()
    tell(f"backup {facts.readings} {named.path}")


def _careless_restore(folder: Path, tell: Tell) -> None:
    """The old file written over the diary."""
    path = folder / "diary.thimblebook"
    os.unlink(path)  # noqa: PTH108 - one of the calls that are counted
    os.rename(list_backups(path)[0].path, path)  # noqa: PTH104 - the same
    tell("restored")


if __name__ == "__main__":
    sys.exit(main())
