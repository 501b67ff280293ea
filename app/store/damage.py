"""What is said of a damaged diary: what is safe, the newest verified backup, and the way out."""

from __future__ import annotations

from pathlib import Path
from shlex import quote

from app.domain.errors import DiaryError

DAMAGED = "damaged"  # the code of the note that an open diary carries


def damage_sentence(path: Path, *, shown: bool) -> str:
    """Say that a diary is damaged, and what to do.

    Parameters
    ----------
    shown : bool
        Whether it is open to be looked at; else too little of it can be read for that.
    """
    what = (
        "as far as it can be read it is shown, numbers may be wrong or missing, and nothing can be "
        "changed in it"
        if shown
        else "it can't be shown, so that no wrong number is"
    )
    return f"{path} is damaged: {what}. It was left untouched; {way_out(path)}."


def way_out(path: Path) -> str:
    """Half a sentence: the newest verified backup, and how to save what can be read."""
    from app.store.backup_facts import newest_verified

    salvage = "what can be read goes into a new file with: thimblebook salvage OUT"
    try:
        backup = newest_verified(path)
    except DiaryError:
        backup = None
    if backup is None:
        return f"there is no verified backup beside it, but {salvage}"
    return (
        f"the newest verified backup is of {backup.local_day}, bring it back with: "
        f"thimblebook restore {quote(str(backup.path))} ; or {salvage}"
    )
