"""A very small disk that becomes full, and one that can only be read: in a mount of our own.

Runs inside `unshare -rm`, which lets a program that is not root mount what it alone sees.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

from tests.faults.acks import Acks
from tests.faults.child import DONE, STOPPED, ended, forked
from tests.faults.jobs import Job, diary_in
from tests.faults.report import Found
from tests.faults.shim import NOT_HERE

NOT_ALLOWED = "this system lets no program mount a disk of its own"
ALONE = ("unshare", "-rm")
LEFT_OVER = (0, 1, 4096, 12_288, 20_480, 40_960, 81_920)  # bytes free when the command begins
_TIMES = 30  # of a command: sooner or later it fills the disk


def not_here() -> str:
    """Why no disk can be mounted here; empty where one can."""
    if shutil.which(ALONE[0]) is None:
        return NOT_HERE.replace("gcc", "unshare")
    done = subprocess.run([*ALONE, "true"], capture_output=True, check=False)
    return NOT_ALLOWED if done.returncode else ""


def fill_the_disk(
    job: Job,
    folder: Path,
    *,
    size: str = "6m",
    setup: Callable[[], None] | None = None,
    control: str = "",
) -> Found:
    """Run a command on a disk with less and less left, then make room and run it again."""
    broken: list[str] = []
    refused = 0
    for left in LEFT_OVER:
        place = folder / f"left {left}"
        place.mkdir(parents=True)
        _run("mount", "-t", "tmpfs", "-o", f"size={size},mode=700", "tmpfs", str(place))
        job.prepare(place)
        ballast = _fill(place, left)
        acks = folder / f"acks {left}"
        code = ended(forked(lambda at=place, of=acks: _use(job, at, of, setup), folder / "said"))  # type: ignore[misc]
        said = (folder / "said").read_text(errors="replace")
        refused += code == STOPPED
        if code not in (DONE, STOPPED) or "Traceback" in said:
            broken.append(f"with {left} bytes left it ended with {code}: {said[-500:]}")
        ballast.unlink()
        broken += [f"with {left} bytes left: {each}" for each in job.broken(place, Acks.of(acks))]
        if not control:
            again = ended(forked(lambda at=place, of=acks: _once(job, at, of), folder / "said"))  # type: ignore[misc]
            if again != DONE:
                broken.append(f"with room again it ended with {again}")
        _run("umount", "-l", str(place))
        if broken and control:
            break
    seen = {"refused in a sentence": float(refused)}
    return Found("full disk", job.name, len(LEFT_OVER), tuple(broken), control, seen=seen)


def only_read(job: Job, folder: Path, *, control: str = "") -> Found:
    """Run a command on a disk that can only be read: refused in a sentence, not a byte changed.

    The control leaves the disk writable, and so must be found to change something.
    """
    place = folder / "place"
    place.mkdir(parents=True)
    _run("mount", "-t", "tmpfs", "-o", "size=16m,mode=700", "tmpfs", str(place))
    job.prepare(place)
    before = diary_in(place).read_bytes()
    if not control:
        _run("mount", "-o", "remount,ro", str(place))
    code = ended(forked(lambda: _use(job, place, folder / "acks", None, times=1), folder / "said"))
    said = (folder / "said").read_text(errors="replace")
    broken = []
    if code != STOPPED or "Traceback" in said:
        broken.append(f"it ended with {code}: {said[-500:]}")
    if diary_in(place).read_bytes() != before:
        broken.append("something was changed")
    broken += job.broken(place, Acks(folder / "none")) if not control else []
    _run("umount", "-l", str(place))
    return Found("read-only disk", job.name, 1, tuple(broken), control)


def _use(
    job: Job,
    place: Path,
    acks: Path,
    setup: Callable[[], None] | None,
    *,
    times: int = _TIMES,
) -> int:
    if setup:
        setup()
    try:
        return job.run(place, Acks.of(acks), times)
    except RuntimeError:  # refused twice: nothing has changed, so that is right here
        return STOPPED


def _once(job: Job, place: Path, acks: Path) -> int:
    return job.run(place, Acks.of(acks), 1)


def _fill(place: Path, left: int) -> Path:
    ballast = place / "ballast"
    free = os.statvfs(place)
    with ballast.open("wb") as file:
        file.write(bytes(max(0, free.f_bavail * free.f_frsize - left)))
    return ballast


def _run(*words: str) -> None:
    subprocess.run(words, check=True, capture_output=True)
