"""Composition root: reads the clock and the user's folders once, and hands them to a command."""

from __future__ import annotations

import os
import sys
import warnings
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

import platformdirs

from app.cli import main
from app.cli.surroundings import Surroundings

if TYPE_CHECKING:
    from app.domain.pictures import Pictures
    from app.review.hand_over import HandOverCard
    from app.review.second_sheet import SecondSheet
    from app.review.visit import VisitPage


class Window:
    """The window and its pictures, imported when a command asks for them."""

    def __init__(self, state: Path) -> None:
        self._state = state

    def is_there(self) -> bool:
        """Whether there is a screen that a window can be seen on."""
        from app.ui.start import has_screen

        return has_screen()

    def open(self, diary: Path, person: str | None) -> int:
        """Show the window until it is closed."""
        from app.ui.start import open_window

        return open_window(diary, self._state, _now, person=person, runtime=_runtime(), say=_say)

    def draw(self, pictures: Pictures) -> list[Path]:
        """Draw pages into files."""
        from app.store.installation import installation_id
        from app.ui.start import draw_pages

        return draw_pages(pictures, installation_id(self._state), _now)

    def write_page(
        self, page: VisitPage, out: Path, paper: str, second: SecondSheet | None = None
    ) -> None:
        """Write the page for an appointment into a file."""
        from app.report.out import write_page

        write_page(page, out, paper, second)

    def write_card(self, card: HandOverCard, out: Path, paper: str) -> None:
        """Write the hand-over card into a file."""
        from app.report.out import write_card

        write_card(card, out, paper)


def run() -> None:
    """Run the command line of this process and leave with its exit code."""
    os.umask(0o077)  # nobody else on this computer reads what we write
    for stream in (sys.stdout, sys.stderr):
        # A console that can't show a letter shows its code: a save never fails for a print.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    state = Path(platformdirs.user_state_dir("thimblebook", appauthor=False))
    data = Path(platformdirs.user_data_dir("thimblebook", appauthor=False))
    surroundings = Surroundings(
        now=_now(),
        diary=data / "diary.thimblebook",
        state=state,
        out=sys.stdout,
        err=sys.stderr,
        screen=Window(state),
    )
    code = main(sys.argv[1:], surroundings)
    _let_go()
    sys.exit(code)


def _let_go() -> None:
    """Write out what is left of the answer; where nobody takes it, that was said already."""
    stdout: TextIO | None = sys.stdout  # None where it was closed from the start
    if stdout is None:
        return
    try:
        stdout.flush()
    except OSError:
        # Python would try once more while it ends, and complain on its own.
        os.dup2(os.open(os.devnull, os.O_WRONLY), stdout.fileno())


def _say(sentence: str) -> None:
    sys.stdout.write(f"{sentence}\n")
    sys.stdout.flush()


def _runtime() -> Path:
    """The runtime folder of the user; without a session it is one in the place for such files."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of no use to who opens a diary; the bell checks the owner
        return Path(platformdirs.user_runtime_dir("thimblebook", appauthor=False))


def _now() -> datetime:
    return datetime.now(UTC)


if __name__ == "__main__":
    run()
