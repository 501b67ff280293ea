"""The file that is open: is it still the one that lies at its path, and the one that was read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from app.domain.errors import StoreUnavailable
from app.store.places import network_kind

if TYPE_CHECKING:
    from app.store.opening import Identity


class HeldFile:
    """What an open diary's file looked like when it was last known to be right."""

    def __init__(self, path: Path) -> None:
        self.path = path
        # Some network file systems give a file another number each time it is looked up.
        self._numbered = not network_kind(path)
        self._place, self._size = self._look()
        self._known: Identity | None = None

    def must_stand(self, pages_bytes: Callable[[], int]) -> None:
        """Refuse to go on where the file was moved, replaced or cut while it was open.

        Parameters
        ----------
        pages_bytes : callable
            Asks SQLite how long the file should be; only called where it has become shorter.

        Raises
        ------
        StoreUnavailable
            It did: said in two sentences.
        """
        place, size = self._look()
        if self._numbered and place != self._place:
            raise self._replaced()
        if size < self._size and size != pages_bytes():
            raise StoreUnavailable(
                f"{self.path} became shorter while it was open, so a part of it may be missing. "
                "Nothing was saved just now; close it and look at it with: thimblebook check"
            )
        self._size = size

    def must_be_same(self, found: Identity | None) -> None:
        """Refuse to write where other contents came into the file, by what it says of itself."""
        known = self._known
        if known and (found is None or found.uid != known.uid or found.counter < known.counter):
            raise self._replaced()
        self._known = found

    def moved_on(self, to: Identity | None) -> None:
        """Know the file as it is after a change of our own."""
        self._known = to

    def _look(self) -> tuple[tuple[int, int], int]:
        try:
            found = self.path.stat()
        except FileNotFoundError:
            raise StoreUnavailable(
                f"{self.path} is no longer there: it was moved or deleted while it was open, or "
                "its disk was taken away. Nothing was saved just now; put it back, then do it "
                "again."
            ) from None
        except OSError as problem:
            raise StoreUnavailable(
                f"{self.path} can't be reached any more ({problem.strerror}). Nothing was saved "
                "just now; make its disk answer, then do it again."
            ) from problem
        return (found.st_dev, found.st_ino), found.st_size

    def _replaced(self) -> StoreUnavailable:
        return StoreUnavailable(
            f"Another file was put at {self.path} while it was open. Nothing was saved just now, "
            "and neither file was changed; close the diary, see which of the two you want there, "
            "then open it again."
        )
