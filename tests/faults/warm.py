"""Running a command once undisturbed, in the process whose children are the trials."""

from __future__ import annotations

import shutil
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path
from time import monotonic

from tests.faults.acks import Acks
from tests.faults.child import DONE
from tests.faults.jobs import Job

TIMES = 3


def warm(job: Job, place: Path, *, times: int = TIMES) -> float:
    """Run it, with a check afterwards; returns the seconds of the run.

    What is imported now no child has to import, and a trial that fails undisturbed is no trial.
    """
    place.mkdir(parents=True)
    job.prepare(place)
    begun = monotonic()
    with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
        code = job.run(place, Acks.of(place / "acks"), times)
    length = monotonic() - begun
    broken = job.broken(place, Acks.of(place / "acks"))
    if code != DONE or broken:
        raise RuntimeError(f"{job.name} did not go well undisturbed: {code} {broken}")
    shutil.rmtree(place)
    return length
