"""For every test: folders of its own instead of the real home, and no screen."""

from __future__ import annotations

import itertools
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

_FOLDERS = {
    "HOME": "",
    "USERPROFILE": "",
    "APPDATA": "appdata/roaming",
    "LOCALAPPDATA": "appdata/local",
    "XDG_DATA_HOME": ".local/share",
    "XDG_STATE_HOME": ".local/state",
    "XDG_CONFIG_HOME": ".config",
    "XDG_CACHE_HOME": ".cache",
    "XDG_RUNTIME_DIR": "runtime",
}


@pytest.fixture(scope="session")
def _homes(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    base = tmp_path_factory.mktemp("homes")
    return (base / str(number) for number in itertools.count())


@pytest.fixture(autouse=True)
def home(_homes: Iterator[Path], monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty home folder; every variable that names a user's folder points into it."""
    folder = next(_homes)
    folder.mkdir()
    (folder / "runtime").mkdir(mode=0o700)  # Qt warns of a runtime folder that others may read
    for name, place in _FOLDERS.items():
        monkeypatch.setenv(name, str(folder / place))
    return folder
