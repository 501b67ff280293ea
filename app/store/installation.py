"""The id of this installation: it lives in the user's state folder, never in the diary."""

from __future__ import annotations

import os
from pathlib import Path
from uuid import UUID, uuid4

from app.domain.errors import StoreUnavailable


def installation_id(folder: Path) -> UUID:
    """Read the id in `folder`, or make one there (folder 0700, file 0600).

    Two installations never share an id, so that changes made apart can be told apart later.
    """
    file = folder / "installation"
    try:
        return UUID(file.read_text(encoding="ascii").strip())
    except (FileNotFoundError, ValueError):
        pass
    except OSError as problem:
        raise _unusable(folder, problem) from problem
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        made = uuid4()
        fresh = folder / f"installation.{made.hex}"
        fresh.touch(mode=0o600)
        fresh.write_text(f"{made}\n", encoding="ascii")
        os.replace(fresh, file)  # noqa: PTH105 - says plainly that it replaces
    except OSError as problem:
        raise _unusable(folder, problem) from problem
    return made


def _unusable(folder: Path, problem: OSError) -> StoreUnavailable:
    return StoreUnavailable(
        f"The folder {folder} can't be used ({problem.strerror}), and the program keeps its own id "
        "there. Nothing was changed; make the folder writable, then try again."
    )
