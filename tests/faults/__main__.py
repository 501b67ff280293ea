"""python -m tests.faults [--long] [--only WORD]: prints a table, and what the controls did."""

from __future__ import annotations

import argparse
import sys
from itertools import chain

from tests.faults.report import last_line
from tests.faults.run import control_tasks, long_tasks, ran, short_tasks


def run() -> int:
    """Run the suites; 0 where all came out as they must."""
    words = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    words.add_argument("--long", action="store_true", help="500 kills a command, every call")
    words.add_argument("--kills", type=int, default=500, metavar="N", help="with --long")
    words.add_argument("--only", default="", metavar="WORD", help="suites or commands with WORD")
    given = words.parse_args()
    tasks = long_tasks(kills=given.kills) if given.long else short_tasks()
    chosen = (
        task
        for task in chain(tasks, control_tasks())
        if given.only in f"{task.suite} {task.command} {task.control}"
    )
    found = []
    for each in ran(chosen):
        found.append(each)
        print(each.line, flush=True)
    wrong = [each for each in found if not each.good]
    not_run = sum(bool(each.not_run) for each in found)
    print(f"{len(found)} suites, {len(wrong)} not as they must be, {not_run} did not run")
    print(last_line(found))
    return bool(wrong)


if __name__ == "__main__":
    sys.exit(run())
