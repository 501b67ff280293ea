"""The shim of C that makes calls fail: built where there is a compiler, armed in a child."""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

SOURCE = Path(__file__).with_name("faultio.c")
MODES = {"enospc": 1, "eio": 2, "die": 3, "power": 4}
LOADED = "FAULTIO_LOADED"  # names the shim in the environment of a process that has it

NOT_HERE = "it needs Linux and gcc"


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: at the `at`-th call (0: never) on paths that hold `watch`.

    `sticky` lets every later call fail too. `lose` 0 loses all that was not synced, another number
    a part of it by a series of that seed.
    """

    mode: str
    at: int
    watch: str
    sticky: bool = False
    lose: int = 0


def built(folder: Path) -> Path | None:
    """The shim, compiled into `folder`; None where that can't be done."""
    compiler = shutil.which("gcc")
    if not sys.platform.startswith("linux") or compiler is None:
        return None
    shim = folder / "faultio.so"
    words = [compiler, "-O1", "-shared", "-fPIC", "-o", str(shim), str(SOURCE), "-ldl"]
    done = subprocess.run(words, capture_output=True, check=False)
    return shim if done.returncode == 0 else None


def environment(shim: Path | None) -> dict[str, str]:
    """The environment of a process that is to have the shim; of one thread, since it is forked."""
    one = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
    loaded = {"LD_PRELOAD": str(shim), LOADED: str(shim)} if shim else {}
    return {**os.environ, **one, **loaded}


def arm(fault: Fault) -> None:
    """From here on, let calls fail in this process."""
    _library().fault_arm(
        os.fsencode(fault.watch),
        ctypes.c_long(fault.at),
        MODES[fault.mode],
        int(fault.sticky),
        ctypes.c_uint(fault.lose),
    )


def disarm() -> None:
    """Let calls through again, and finish what was held back."""
    _library().fault_settle()


def fired() -> bool:
    """Whether the fault has happened in this process."""
    return bool(_library().fault_fired())


@cache
def _library() -> ctypes.CDLL:
    return ctypes.CDLL(os.environ[LOADED])
