"""What SQLite and SQLAlchemy run into, told in the plain sentences of the diary."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from app.domain.errors import DiaryError
from app.store.file import unreadable


def database_errors() -> tuple[type[Exception], ...]:
    """What the two of them raise; asked late, since SQLAlchemy takes long to import."""
    from sqlalchemy.exc import DBAPIError

    return DBAPIError, sqlite3.Error


def in_plain_words(path: Path, problem: Exception) -> DiaryError:
    """The error of ours for one of theirs, with its sentence."""
    cause = getattr(problem, "orig", problem)  # what SQLAlchemy wraps
    if isinstance(cause, sqlite3.IntegrityError):
        return DiaryError(
            f"The diary refused this ({cause}). Nothing of it was saved; all before is safe."
        )
    return unreadable(path, cause if isinstance(cause, Exception) else problem)
