"""The entry line: what a person types in one line, understood piece by piece."""

from app.domain.entry.answers import with_answer
from app.domain.entry.read import read_entry
from app.domain.entry.records import Entry, EntryContext, Piece

__all__ = ["Entry", "EntryContext", "Piece", "read_entry", "with_answer"]
