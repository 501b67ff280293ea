"""The second place of a diary's backups, another disk for instance: remembered on this computer.

It lies in the state folder, a small file for each diary, and never in the diary: another computer
has other disks.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from pathlib import Path
from uuid import UUID, uuid4

from app.domain.errors import StoreUnavailable

_FOLDER = "second-place"


def second_place(state: Path, uid: UUID) -> Path | None:
    """The folder that backups of a diary are also kept in; None where none was named."""
    try:
        return Path(str(json.loads(_file(state, uid).read_text(encoding="ascii"))["folder"]))
    except (OSError, ValueError, KeyError, TypeError):  # a torn file is as good as none
        return None


def keep_also_in(state: Path, uid: UUID, folder: Path | None) -> None:
    """Remember a second place, or with None that there is to be none.

    Raises
    ------
    StoreUnavailable
        The state folder can't be written.
    """
    file = _file(state, uid)
    fresh = file.with_name(f"{file.name}.{uuid4().hex}")
    try:
        if folder is None:
            file.unlink(missing_ok=True)
            return
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        fresh.touch(mode=0o600)
        fresh.write_text(json.dumps({"folder": str(folder.absolute())}), encoding="ascii")
        os.replace(fresh, file)  # noqa: PTH105 - says plainly that it replaces
    except OSError as problem:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
        raise StoreUnavailable(
            f"The second place can't be remembered ({problem.strerror}). The diary and its backups "
            f"are safe; make {state} writable, then name the place again."
        ) from problem


def _file(state: Path, uid: UUID) -> Path:
    return state / _FOLDER / f"{uid.hex}.json"
