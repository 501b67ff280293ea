"""One fault at call N of a command, for N = 1, 2, 3 ... until it ends without meeting it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

from tests.faults.acks import Acks
from tests.faults.child import DONE, KILLED, STOPPED, ended, forked
from tests.faults.jobs import WATCHED, Job
from tests.faults.report import Found
from tests.faults.shim import Fault, arm, disarm, fired
from tests.faults.warm import warm

TIMES = 2  # of the command in one run: the second meets what the first left behind
_UNMET = 64  # the code of a run that ended without the fault
_MOST = 20_000


def fail_at_each(
    job: Job,
    folder: Path,
    *,
    mode: str,
    step: int = 1,
    sticky: bool = False,
    lose: bool = False,
    setup: Callable[[], None] | None = None,
    control: str = "",
) -> Found:
    """Let the N-th call fail; N grows by `step`.

    Parameters
    ----------
    lose : bool
        Of a power cut: lose a part of what was not synced, chosen by a series of seed N, in place
        of all of it.
    setup, control
        A wrong setting and its name; it then ends at the first thing broken.
    """
    warm(job, folder / "warm", times=1)
    pristine = folder / "pristine"
    pristine.mkdir(parents=True)
    job.prepare(pristine)
    place, said = folder / "place", folder / "said"
    broken: list[str] = []
    points = refused = 0
    for at in range(1, _MOST, step):
        shutil.copytree(pristine, place)
        fault = Fault(mode, at, f"/{WATCHED}", sticky, at if lose else 0)
        code = ended(forked(lambda f=fault: _disturbed(job, place, f, setup), said))  # type: ignore[misc]
        found = job.broken(place, Acks.of(place / "acks"))
        shutil.rmtree(place)
        if code == _UNMET:
            break
        points += 1
        refused += code != DONE
        words = said.read_text(errors="replace")
        if code not in (DONE, STOPPED, KILLED) or "Traceback" in words:
            found.append(f"it ended with {code}: {words[-700:]}")
        broken += [f"call {at}: {each}" for each in found]
        if broken and control:
            break
    how = f"{mode}{' for good' if sticky else ''}{', a part lost' if lose else ''}"
    seen = {"stopped or refused": float(refused)}
    return Found(how, job.name, points, tuple(broken), control, seen=seen)


def _disturbed(job: Job, place: Path, fault: Fault, setup: Callable[[], None] | None) -> int:
    if setup:
        setup()
    acks = Acks.of(place / "acks")
    arm(fault)
    try:
        code = job.run(place, acks, TIMES)
    except RuntimeError:
        if not fault.sticky:  # a fault that stays refuses each time, and that is right
            raise
        code = STOPPED
    met = fired()
    disarm()
    return code if met else _UNMET
