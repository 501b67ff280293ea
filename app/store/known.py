"""Where diaries were open on this computer, and who writes in them here.

A lost disk must not look like an empty diary. Only marks of the paths are kept, in the state
folder: a path can hold the name of a person. A file there holds who writes, for its user alone.
"""

from __future__ import annotations

import os
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path

_FOLDER = "known"


def remember_place(state: Path, diary: Path) -> None:
    """Remember that a diary was open at a path; where that can't be kept, nothing is lost."""
    with suppress(OSError):
        (state / _FOLDER).mkdir(mode=0o700, parents=True, exist_ok=True)
        _file(state, diary).touch(mode=0o600)


def is_known(state: Path, diary: Path) -> bool:
    """Whether a diary was ever open at a path, or backups of one lie beside it."""
    from app.store.backup_facts import default_folder

    if _file(state, diary).exists():
        return True
    try:
        there = default_folder(diary).iterdir()
        return any(each.name.startswith(f"{diary.stem}-") for each in there)
    except OSError:
        return False


def writer_here(state: Path, diary: Path) -> str | None:
    """Who writes in a diary at this computer, where somebody said so."""
    try:
        return _file(state, diary).read_text(encoding="utf-8").strip() or None
    except (OSError, UnicodeDecodeError):
        return None


def remember_writer(state: Path, diary: Path, name: str | None) -> None:
    """Remember who writes in a diary at this computer; where that can't be kept, it is asked."""
    remember_place(state, diary)
    with suppress(OSError):
        _file(state, diary).write_text(name or "", encoding="utf-8")


def _file(state: Path, diary: Path) -> Path:
    mark = blake2b(os.fsencode(diary.absolute()), digest_size=12).hexdigest()
    return state / _FOLDER / mark
