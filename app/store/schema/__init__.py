"""Every table of the diary, as SQLAlchemy Core tables on one metadata.

They are made when the first is asked for: to read what a window shows first, none is needed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.store.schema.tables import *  # noqa: F403 - the names are listed there
else:  # a checker would take every name for a table

    def __getattr__(name: str) -> object:
        """Make the tables, and give one (PEP 562)."""
        from importlib import import_module

        return getattr(import_module("app.store.schema.tables"), name)
