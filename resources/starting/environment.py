"""Make `.venv` and put the project into it, so that a start killed half-way heals at the next."""

import os
import shutil
import sys
from typing import TextIO

from starting.ready import (
    PROJECT,
    PYTHON,
    ROOT,
    STAMP,
    VENV,
    facts_of,
    had,
    is_ready,
    read,
    stamp_text,
)
from starting.system import check_system
from starting.talk import quietly, say

UNFINISHED = "unfinished"  # the stamp while packages are put in; a kill leaves it there

_NO_NETWORK = (
    "NewConnectionError",
    "Failed to establish a new connection",
    "name resolution",
    "getaddrinfo",
    "Network is unreachable",
    "ProxyError",
    "ConnectTimeout",
    "ReadTimeout",
)


def set_up(wanted: frozenset[str]) -> None:
    """Bring `.venv` to what is wanted; the stamp is written last.

    Raises
    ------
    RuntimeError
        Something is missing that we can't put there; the sentence says what to do.
    """
    with _alone():
        stamp, project = read(STAMP), read(PROJECT)
        new = wanted - had(stamp)
        installing = "test" in new or not is_ready(stamp, project, had(stamp))
        anew = installing and not can_take_packages(stamp)
        check_system(new, venv=anew)  # before anything is fetched: it may end here
        if anew:
            _make_venv()
            stamp = UNFINISHED
        if installing:
            _install(wanted | had(stamp), stamp)
        _write(stamp_text(wanted | had(stamp), project))


def can_take_packages(stamp: str) -> bool:
    """Whether what stands in `.venv` is whole, of this folder, and new enough to install into."""
    facts, python = facts_of(stamp), os.path.realpath(PYTHON)
    if stamp == UNFINISHED or facts.get("root", ROOT) != ROOT or not os.path.exists(PYTHON):
        return False
    if facts.get("python", python) != python:
        return False  # the system's Python was replaced: the packages lie in the old one's folder
    return quietly([PYTHON, "-c", "import sys, pip; sys.exit(sys.version_info < (3, 11))"])[0] == 0


def pip_sentence(output: str) -> str:
    """Why pip failed, in plain words where they are known, else in its own."""
    if any(sign in output for sign in _NO_NETWORK):
        return (
            "The packages could not be fetched, because the network did not answer. No diary was "
            "touched; connect this computer to the internet, then run the same command again."
        )
    if "No space left on device" in output or "not enough space" in output:
        return (
            "The packages were not installed, because the disk is full. No diary was touched; free "
            "about 1 GB, then run the same command again."
        )
    return f"{output}\nThe packages were not installed; pip's own words stand above."


def _alone() -> TextIO:
    """Hold off other starts as long as the file is open; the system frees a dead one's hold."""
    handle = open(PROJECT, encoding="utf-8")  # noqa: SIM115 - closed by the caller's with
    try:
        import fcntl

        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say("Another start is setting Thimblebook up; waiting for it.")
            fcntl.flock(handle, fcntl.LOCK_EX)
    except (ImportError, OSError):
        pass  # Windows, or a network folder without locks: two first starts at once are rare
    return handle


def _make_venv() -> None:
    """Make `.venv` anew, marked unfinished from its first moment."""
    if os.path.islink(VENV):
        os.unlink(VENV)
    elif os.path.exists(VENV):
        shutil.rmtree(VENV)
    os.makedirs(VENV)
    _write(UNFINISHED)
    # Started with a Python of the old .venv, that one has just gone; its base is still there.
    python = getattr(sys, "_base_executable", None) or sys.executable
    code, output = quietly([python, "-m", "venv", VENV])
    if code:
        raise RuntimeError(f"{output}\nPython could not make {VENV}; its own words stand above.")


def _install(has: frozenset[str], stamp: str) -> None:
    """Install the project, editable, with what it needs; `stamp` comes back if that fails."""
    say("Setting Thimblebook up in .venv: this fetches packages once and takes a minute or two.")
    _write(UNFINISHED)
    what = ".[test]" if "test" in has else "."
    command = ["install", "--quiet", "--disable-pip-version-check", "--editable", what]
    code, output = quietly([PYTHON, "-m", "pip", *command], PIP_USER="0")
    if code:
        _write(stamp)  # pip fetches everything before it changes anything: all is as it was
        raise RuntimeError(pip_sentence(output))


def _write(stamp: str) -> None:
    with open(STAMP, "w", encoding="utf-8") as file:
        file.write(stamp)
