"""What a start needs, and whether `.venv` has it: all that is looked at on every start.

No module beyond `os` is imported here; that is what keeps the second start quick.
"""

import os

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
PROJECT = os.path.join(ROOT, "pyproject.toml")
VENV = os.path.join(ROOT, ".venv")
STAMP = os.path.join(VENV, "thimblebook-stamp")
TOOLS = os.path.join(VENV, "Scripts" if os.name == "nt" else "bin")
PYTHON = os.path.join(TOOLS, "python.exe" if os.name == "nt" else "python")

DRAWING_VERBS = ("open", "page", "draw", "export")  # the other verbs never load Qt


def verb_of(args: list[str]) -> str:
    """The verb among the arguments; without one the program opens its window.

    >>> verb_of(["--diary", "open", "figures", "--json"])
    'figures'
    """
    rest = iter(args)
    for word in rest:
        if word in ("--diary", "--person"):
            next(rest, None)
        elif word in ("-h", "--help", "--version") or not word.startswith("-"):
            return word
    return "open"


def needs(args: list[str], environ: dict[str, str], platform: str) -> frozenset[str]:
    """What this start needs beyond the program: the test tools, sets of system libraries."""
    testing, verb = args[:1] == ["test"], verb_of(args)
    wanted = {"test"} if testing else set()
    if platform == "linux" and (testing or verb in DRAWING_VERBS):
        wanted.add("offscreen")
        if verb == "open" and not environ.get("QT_QPA_PLATFORM"):
            if environ.get("DISPLAY"):
                wanted.add("x11")
            elif environ.get("WAYLAND_DISPLAY"):
                wanted.add("wayland")
    return frozenset(wanted)


def stamp_text(has: frozenset[str], project: str) -> str:
    """What the stamp says of a finished set-up: where, for which Python, with what, from what.

    The copy of pyproject.toml stands for its hash: comparing is as quick, and imports nothing.
    """
    python = os.path.realpath(PYTHON)
    return f"root={ROOT}\npython={python}\nhas={' '.join(sorted(has))}\n\n{project}"


def facts_of(stamp: str) -> dict[str, str]:
    """What a stamp says before the copy of pyproject.toml; empty where there is none."""
    lines = stamp.partition("\n\n")[0].splitlines()
    return dict(line.split("=", 1) for line in lines if "=" in line)


def had(stamp: str) -> frozenset[str]:
    """What the set-up of a stamp brought along."""
    return frozenset(facts_of(stamp).get("has", "").split())


def is_ready(stamp: str, project: str, wanted: frozenset[str]) -> bool:
    """Whether nothing has changed since the stamp was written and it covers what is wanted."""
    has = had(stamp)
    return wanted <= has and stamp == stamp_text(has, project) and os.path.exists(PYTHON)


def read(path: str) -> str:
    """The text of a file, or nothing where there is none."""
    try:
        with open(path, encoding="utf-8", errors="replace") as file:
            return file.read()
    except FileNotFoundError:
        return ""
