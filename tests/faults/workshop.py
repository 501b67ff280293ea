"""The process in which one suite runs; started by run.py, with the shim loaded where it is needed.

It has imported the program once, and each trial is a child of it: hundreds of them take seconds.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path

from tests.faults.disk import fill_the_disk, only_read
from tests.faults.flips import flip
from tests.faults.jobs import jobs
from tests.faults.kills import kill_at_random
from tests.faults.locked import hold_it, write_at_once
from tests.faults.points import fail_at_each
from tests.faults.report import Found, to_line
from tests.faults.wrong import WRONG


def work(suite: str, command: str, options: dict[str, str], folder: Path) -> Found:
    """Run one suite on one command."""
    folder.mkdir()
    control = options.get("control", "")
    setup = WRONG.get(control)
    number = {name: int(value) for name, value in options.items() if value.isdecimal()}
    if suite == "flip":
        rounds, seed = number["rounds"], number.get("seed", 1)
        return flip(folder, command, rounds=rounds, seed=seed, control=control)
    if suite == "locked":
        seconds = number["seconds"]
        return hold_it(folder, seconds=seconds, setup=setup, control=control)
    if suite == "two":
        return write_at_once(folder, each=number["each"], setup=setup, control=control)
    sources = folder / "sources"
    sources.mkdir()
    job = jobs(lines=number.get("lines", 300), sources=sources)[command]
    if suite == "kill":
        rounds, seed = number["rounds"], number.get("seed", 1)
        return kill_at_random(job, folder, rounds=rounds, seed=seed, setup=setup, control=control)
    if suite == "full":
        return fill_the_disk(job, folder, setup=setup, control=control)
    if suite == "read-only":
        return only_read(job, folder, control=control)
    return fail_at_each(
        job,
        folder,
        mode=suite,
        step=number.get("step", 1),
        sticky="sticky" in options,
        lose="lose" in options,
        setup=setup,
        control=control,
    )


def main(base: str, tasks: str) -> None:
    """Run tasks, in JSON, and print what each found as it ends."""
    for number, (suite, command, words, control) in enumerate(json.loads(tasks)):
        given = dict(word.partition("=")[::2] for word in words)
        if control:
            given["control"] = control
        with tempfile.TemporaryDirectory(dir=base) as made:
            found = work(suite, command, given, Path(made) / str(number))
        print(to_line(found), flush=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
