"""What Debian's packages must bring: the libraries that Qt loads, Python's venv module."""

import importlib.util
import os
import shutil
import sys

from starting.talk import quietly, say

# Each library with Debian's package for it. The first two sets were tried in a minimal Debian 12;
# the third was read off the plugin with ldd.
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


def check_system(wanted: frozenset[str], *, venv: bool) -> None:
    """See that the system has what is wanted; install it where that is ours to do.

    Raises
    ------
    RuntimeError
        Something is missing; the sentence has the line that installs it.
    """
    missing = missing_packages(wanted, venv=venv)
    if missing and may_use_apt():
        say(f"Installing what Thimblebook needs of the system: {' '.join(missing)}.")
        run_apt(missing)
        missing = missing_packages(wanted, venv=venv)
    if missing:
        raise RuntimeError(
            "Some of what Thimblebook needs of the system is missing. Run this, then the same "
            f"command again:\n  sudo apt-get update && sudo apt-get install {' '.join(missing)}\n"
            "(That is for Debian and its relatives; elsewhere the packages have similar names.)"
        )


def missing_packages(wanted: frozenset[str], *, venv: bool) -> list[str]:
    """Debian's packages for what is missing of the wanted sets, and of venv where it is needed."""
    sets = [libraries for name, libraries in LIBRARIES.items() if name in wanted]
    missing = [package for one in sets for library, package in one.items() if not can_load(library)]
    if venv and not can_make_venv():
        missing.append(f"python{sys.version_info[0]}.{sys.version_info[1]}-venv")
    return missing


def can_make_venv() -> bool:
    """Whether this Python can make an environment with pip in it; Debian packs that apart."""
    importlib.invalidate_caches()
    return all(importlib.util.find_spec(name) for name in ("venv", "ensurepip"))


def can_load(library: str) -> bool:
    """Whether the system finds a library and all that it needs in turn."""
    try:
        import ctypes
    except ImportError:
        return True  # a Python built without it can't tell, and Qt does not need it
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def may_use_apt() -> bool:
    """Whether this is root on a system with Debian's package tool."""
    return os.name == "posix" and os.geteuid() == 0 and shutil.which("apt-get") is not None


def run_apt(packages: list[str]) -> None:
    """Install packages as root, asking nothing; what apt-get says is shown only if it fails."""
    # A fresh machine has no list of packages yet, or an old one. Where one of several sources is
    # broken the update complains, though what is wanted here may well be had from the others.
    environ = {"DEBIAN_FRONTEND": "noninteractive"}
    _, news = quietly(["apt-get", "update"], **environ)
    install = ["apt-get", "install", "-y", "--no-install-recommends", *packages]
    code, output = quietly(install, **environ)
    if code:
        say(f"{news}\n{output}")
