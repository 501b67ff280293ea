"""Get Thimblebook going on a fresh machine: `python3 resources/start.py open`, or `test`.

Only the standard library, and only syntax that Python 3.6 reads, so that an old Python can say what
is wrong. Once all is set up, a start imports nothing beyond `os` and `sys`.
"""

import os
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
PROJECT = os.path.join(ROOT, "pyproject.toml")
VENV = os.path.join(ROOT, ".venv")
STAMP = os.path.join(VENV, "thimblebook-stamp")
TOOLS = os.path.join(VENV, "Scripts" if os.name == "nt" else "bin")
PYTHON = os.path.join(TOOLS, "python.exe" if os.name == "nt" else "python")

UNFINISHED = "unfinished"  # stands in the stamp while packages are put in; a kill leaves it there

DRAWING_VERBS = ("open", "page", "draw", "export")  # the other verbs never load Qt

# What Qt loads from the system, and Debian's package for it. The first two sets were tried in a
# minimal Debian 12, the third was read off the plugin with ldd.
LIBRARIES = {
    "offscreen": {
        "libglib-2.0.so.0": "libglib2.0-0",
        "libGL.so.1": "libgl1",
        "libEGL.so.1": "libegl1",
        "libxkbcommon.so.0": "libxkbcommon0",
        "libdbus-1.so.3": "libdbus-1-3",
        "libfontconfig.so.1": "libfontconfig1",
    },
    "x11": {
        "libxcb-cursor.so.0": "libxcb-cursor0",
        "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
        "libxcb-icccm.so.4": "libxcb-icccm4",
        "libxcb-keysyms.so.1": "libxcb-keysyms1",
        "libxcb-xkb.so.1": "libxcb-xkb1",
        "libxcb-randr.so.0": "libxcb-randr0",
        "libxcb-shape.so.0": "libxcb-shape0",
        "libxcb-sync.so.1": "libxcb-sync1",
        "libxcb-xfixes.so.0": "libxcb-xfixes0",
    },
    "wayland": {
        "libwayland-client.so.0": "libwayland-client0",
        "libwayland-cursor.so.0": "libwayland-cursor0",
    },
}

NO_NETWORK = (
    "NewConnectionError",
    "Failed to establish a new connection",
    "name resolution",
    "getaddrinfo",
    "Network is unreachable",
    "ProxyError",
    "ConnectTimeout",
    "ReadTimeout",
)


class Trouble(Exception):
    """What stands in the way, as a sentence for the person."""


def main(args: list) -> int:
    """Set up what is missing, then run the checks (`test`) or the program with these arguments."""
    sentence = python_sentence(sys.version_info)
    if sentence:
        say(sentence)
        return 1
    wanted = needs(args, os.environ, sys.platform)
    try:
        if not is_ready(read(STAMP), read(PROJECT), wanted):
            set_up(wanted)
        return run_checks(args[1:]) if args[:1] == ["test"] else run_program(args)
    except Trouble as trouble:
        say(str(trouble))
        return 1
    except OSError as problem:
        say(
            f"Thimblebook could not be set up in {ROOT}: {problem}. No diary was touched; "
            "put that right, then run the same command again."
        )
        return 1
    except KeyboardInterrupt:
        return 130  # as a shell says it


def python_sentence(version: tuple) -> str:
    """What to install when this Python is too old, else nothing."""
    if version[:2] >= (3, 11):
        return ""
    return (
        f"Thimblebook needs Python 3.11 or later, and this is Python {version[0]}.{version[1]}; "
        "install one from your system's packages or python.org and run the same command with it."
    )


def verb_of(args: list) -> str:
    """The verb among the arguments; without one the program opens its window.

    >>> verb_of(["--diary", "open", "figures", "--json"])
    'figures'
    """
    rest = iter(args)
    for word in rest:
        if word in ("--diary", "--person"):
            next(rest, None)
        elif word in ("-h", "--help", "--version"):
            return word
        elif not word.startswith("-"):
            return word
    return "open"


def needs(args: list, environ: dict, platform: str) -> frozenset:
    """What this start needs beyond the program: the test tools, sets of system libraries."""
    verb = verb_of(args)
    wanted = {"test"} if verb == "test" else set()
    if platform == "linux" and (verb == "test" or verb in DRAWING_VERBS):
        wanted.add("offscreen")
        if verb == "open" and not environ.get("QT_QPA_PLATFORM"):
            if environ.get("DISPLAY"):
                wanted.add("x11")
            elif environ.get("WAYLAND_DISPLAY"):
                wanted.add("wayland")
    return frozenset(wanted)


def stamp_text(has: frozenset, project: str) -> str:
    """What the stamp says of a finished set-up: where, for which Python, with what, from what."""
    return (
        f"root={ROOT}\npython={os.path.realpath(PYTHON)}\nhas={' '.join(sorted(has))}\n\n{project}"
    )


def facts_of(stamp: str) -> dict:
    """What a stamp says before the copy of pyproject.toml; empty where there is none."""
    lines = stamp.partition("\n\n")[0].splitlines()
    return dict(line.split("=", 1) for line in lines if "=" in line)


def had(stamp: str) -> frozenset:
    """What the set-up of a stamp brought along."""
    return frozenset(facts_of(stamp).get("has", "").split())


def is_ready(stamp: str, project: str, wanted: frozenset) -> bool:
    """Whether nothing has changed since the stamp was written and it covers what is wanted."""
    has = had(stamp)
    return wanted <= has and stamp == stamp_text(has, project) and os.path.exists(PYTHON)


def set_up(wanted: frozenset) -> None:
    """Bring `.venv` to what is wanted; the stamp is written last, so a killed set-up heals."""
    with lock():
        stamp, project = read(STAMP), read(PROJECT)
        if is_ready(stamp, project, wanted):
            return  # another start has just done it
        has = wanted | had(stamp)
        libraries = has - had(stamp)
        check_libraries(libraries)
        if not is_ready(stamp, project, had(stamp)) or "test" in libraries:
            if not can_take_packages(stamp):
                make_venv()
                stamp = ""
            install(has, stamp)
        write(STAMP, stamp_text(has, project))


def lock():
    """Hold off other starts as long as the returned file is open; the system frees a dead one's."""
    handle = open(PROJECT, encoding="utf-8")
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


def check_libraries(wanted: frozenset) -> None:
    """See that the system has what Qt loads; install it where that is ours to do."""
    missing = missing_packages(wanted, can_load)
    if missing and may_use_apt():
        say(f"Installing the system libraries of Qt: {' '.join(missing)}.")
        run_apt(missing)
        missing = missing_packages(wanted, can_load)
    if missing:
        raise Trouble(f"Qt, which draws the window, lacks system libraries. {apt_sentence(missing)}")


def missing_packages(wanted: frozenset, loads) -> list:
    """Debian's packages for the libraries of the wanted sets that `loads` says no to."""
    sets = [LIBRARIES[name] for name in LIBRARIES if name in wanted]
    return [package for one in sets for library, package in one.items() if not loads(library)]


def can_load(library: str) -> bool:
    """Whether the system finds a library and all that it needs in turn."""
    try:
        import ctypes
    except ImportError:
        return True  # a Python without ctypes can't tell, and Qt does not need it
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def may_use_apt() -> bool:
    """Whether this is root on a system with Debian's package tool."""
    import shutil

    return os.name == "posix" and os.geteuid() == 0 and shutil.which("apt-get") is not None


def apt_sentence(packages: list) -> str:
    """The exact line that installs these packages."""
    return (
        "Run this, then the same command again:\n"
        f"  sudo apt-get update && sudo apt-get install {' '.join(packages)}\n"
        "(That is for Debian and its relatives; elsewhere the packages have similar names.)"
    )


def run_apt(packages: list) -> None:
    """Install packages as root, asking nothing; its words are shown only if it fails."""
    # The lists of a fresh machine are empty or old, so they are fetched first.
    for command in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
        code, output = quietly(["apt-get", *command], DEBIAN_FRONTEND="noninteractive")
        if code:
            say(output)
            return


def can_take_packages(stamp: str) -> bool:
    """Whether what stands in `.venv` is whole, of this folder, and new enough to install into."""
    facts = facts_of(stamp)
    if stamp == UNFINISHED or facts.get("root", ROOT) != ROOT or not os.path.exists(PYTHON):
        return False
    if facts.get("python", os.path.realpath(PYTHON)) != os.path.realpath(PYTHON):
        return False  # the system's Python was replaced: its packages lie in another folder
    check = "import sys, pip; sys.exit(sys.version_info < (3, 11))"
    return quietly([PYTHON, "-c", check])[0] == 0


def make_venv() -> None:
    """Make `.venv` anew, marked unfinished from its first moment."""
    import shutil

    check_venv_module()
    if os.path.islink(VENV):
        os.unlink(VENV)
    elif os.path.exists(VENV):
        shutil.rmtree(VENV)
    os.makedirs(VENV)
    write(STAMP, UNFINISHED)
    # Started with a Python of the old .venv, that one has just gone; its base is still there.
    python = getattr(sys, "_base_executable", None) or sys.executable
    code, output = quietly([python, "-m", "venv", VENV])
    if code:
        raise Trouble(f"{output}\nPython could not make {VENV}; its own words stand above.")


def check_venv_module() -> None:
    """See that Python has venv and ensurepip, which Debian keeps in a package of their own."""
    package = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
    if not has_venv_module() and may_use_apt():
        say(f"Installing {package}.")
        run_apt([package])
    if not has_venv_module():
        raise Trouble(f"This Python has no venv module. {apt_sentence([package])}")


def has_venv_module() -> bool:
    """Whether this Python can make an environment with pip in it."""
    import importlib.util

    importlib.invalidate_caches()
    return all(importlib.util.find_spec(name) for name in ("venv", "ensurepip"))


def install(has: frozenset, stamp: str) -> None:
    """Install the project, editable, with what it needs."""
    say("Setting Thimblebook up in .venv: this fetches packages once and takes a minute or two.")
    write(STAMP, UNFINISHED)
    what = ".[test]" if "test" in has else "."
    command = ["install", "--quiet", "--disable-pip-version-check", "--editable", what]
    code, output = quietly([PYTHON, "-m", "pip", *command], PIP_USER="0")
    if code:
        write(STAMP, stamp)  # pip fetches everything before it changes anything: as it was
        raise Trouble(pip_sentence(output))


def pip_sentence(output: str) -> str:
    """Why pip failed, in plain words."""
    if any(sign in output for sign in NO_NETWORK):
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


def run_checks(pytest_args: list) -> int:
    """Run every check in turn and report all; further arguments go to pytest, which comes last."""
    import subprocess

    environ = {"QT_QPA_PLATFORM": "offscreen", **os.environ}
    checks = {
        "ruff check": [PYTHON, "-m", "ruff", "check", "."],
        "ruff format --check": [PYTHON, "-m", "ruff", "format", "--check", "."],
        "mypy": [PYTHON, "-m", "mypy"],
        "lint-imports": [os.path.join(TOOLS, "lint-imports")],
        "pytest": [PYTHON, "-m", "pytest", *pytest_args],
    }
    failed = []
    for name, command in checks.items():
        so_far = f" (failed so far: {', '.join(failed)})" if failed else ""
        print(f"== {name}{so_far}", flush=True)
        if subprocess.call(command, cwd=ROOT, env=environ):
            failed.append(name)
    return 1 if failed else 0


def run_program(args: list) -> int:
    """Become the program; where a process can't become another, wait for it."""
    # -P: a file named app in the folder the command was given in must not stand in for ours.
    command = [PYTHON, "-P", "-m", "app", *args]
    if os.name == "posix":
        os.execv(PYTHON, command)
    import subprocess

    return subprocess.call(command)


def quietly(command: list, **environ: str) -> tuple:
    """Run a command from the project's folder; its exit code, and all that it said."""
    import subprocess

    done = subprocess.run(
        command,
        cwd=ROOT,
        env={**os.environ, **environ},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    return done.returncode, done.stdout.decode("utf-8", "replace").strip()


def read(path: str) -> str:
    """The text of a file, or nothing where there is none."""
    try:
        with open(path, encoding="utf-8") as file:
            return file.read()
    except FileNotFoundError:
        return ""


def write(path: str, text: str) -> None:
    """Put a text into a file."""
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)


def say(sentence: str) -> None:
    """Tell the person; standard output belongs to the program."""
    print(sentence, file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
