"""Try mutated files one after the other, each within ten seconds, all within 1 GiB."""

from __future__ import annotations

import argparse
import os
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # each thread would reserve memory of its own

from tests.fuzz.files import sound_files
from tests.fuzz.trial import Outcome, tried
from tests.households import new_diary, tilde

SEED = 20260312
MOST_SECONDS = 10
MOST_BYTES = 1 << 30


class TooSlowError(Exception):
    """A file took longer than it may."""


def main() -> int:
    """Try so many files; 0 if each came to a proper end."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--only", type=int, metavar="NUMBER", help="one of the files alone")
    options = parser.parse_args()
    limit_memory()
    numbers = range(options.count) if options.only is None else [options.only]
    ends: Counter[str] = Counter()
    wrong, slowest, begun = 0, 0.0, time.perf_counter()
    with tempfile.TemporaryDirectory() as name:
        folder, sound = Path(name), sound_files()
        with new_diary(folder, "template.thimblebook") as diary:
            tilde(diary)
        for number in numbers:
            since = time.perf_counter()
            try:
                with within_seconds():
                    found = tried(
                        number, options.seed, sound, folder / "template.thimblebook", folder
                    )
            except Exception as problem:  # whatever it is: the file and the reason are told
                if options.only is not None:
                    raise
                wrong += 1
                found = Outcome("wrong")
                print(f"file {number}: {type(problem).__name__}: {problem}", file=sys.stderr)
            ends[found.what] += 1
            slowest = max(slowest, time.perf_counter() - since)
    told = ", ".join(f"{count} {what}" for what, count in sorted(ends.items()))
    print(f"{sum(ends.values())} files: {told}")
    print(
        f"in {time.perf_counter() - begun:.0f} s; the slowest {slowest:.2f} s of {MOST_SECONDS}; "
        f"{peak_memory()} at the most"
    )
    return 1 if wrong else 0


def limit_memory() -> None:
    """Let this process have 1 GiB, where the system can hold it to that."""
    try:
        import resource
    except ImportError:  # Windows has no such limit
        return
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))


def peak_memory() -> str:
    """The most memory that this process ever had, where the system counts it."""
    try:
        import resource
    except ImportError:
        return "memory not counted"
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    unit = 1 if sys.platform == "darwin" else 1024  # bytes there, KiB elsewhere
    return f"{peak * unit / (1 << 20):.0f} MiB"


@contextmanager
def within_seconds() -> Iterator[None]:
    """Raise `TooSlowError` in what takes longer than ten seconds, where the system has alarms."""
    if not hasattr(signal, "SIGALRM"):
        yield
        return

    def too_slow(_signal: int, _frame: FrameType | None) -> None:
        raise TooSlowError(f"more than {MOST_SECONDS} seconds")

    before = signal.signal(signal.SIGALRM, too_slow)
    signal.alarm(MOST_SECONDS)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


if __name__ == "__main__":
    sys.exit(main())
