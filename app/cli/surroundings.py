"""What a command is given from outside: the time, the folders, where to print."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TextIO

from app.domain.errors import StoreUnavailable

if TYPE_CHECKING:
    from app.domain.person import Person
    from app.domain.pictures import Pictures
    from app.review.hand_over import HandOverCard
    from app.review.second_sheet import SecondSheet
    from app.review.visit import VisitPage
    from app.store.diary import Diary


class Screen(Protocol):
    """What can show the diary: given by the composition root, since commands know no window."""

    def is_there(self) -> bool:
        """Whether there is a screen that a window can be seen on."""

    def open(self, diary: Path, person: str | None) -> int:
        """Show the window until it is closed; returns the exit code."""

    def draw(self, pictures: Pictures) -> list[Path]:
        """Draw pages into files; returns their absolute paths."""

    def write_page(
        self, page: VisitPage, out: Path, paper: str, second: SecondSheet | None = None
    ) -> None:
        """Write the page for an appointment as PDF or web page, as the file's name ends."""

    def write_card(self, card: HandOverCard, out: Path, paper: str) -> None:
        """Write the hand-over card likewise; refused where its texts are too long for a page."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The clock and the folders of this run, read once by the composition root."""

    now: datetime
    diary: Path
    state: Path
    out: TextIO
    err: TextIO
    screen: Screen | None = None

    def say(self, text: str) -> None:
        """Print a line of what was asked for."""
        print(text, file=self.out, flush=True)

    def say_json(self, found: Any) -> None:
        """Print one JSON value; a number that is not finite would be our bug and raises."""
        import json

        # A console that knows fewer letters would write codes that are no JSON.
        plain = (getattr(self.out, "encoding", None) or "utf-8").lower() not in ("utf-8", "utf8")
        self.say(json.dumps(found, ensure_ascii=plain, allow_nan=False, indent=1))

    def send(self, text: str) -> None:
        """Put a file out as it is: in UTF-8 with its own line ends, whatever the console can."""
        raw = getattr(self.out, "buffer", None)
        if raw is None:
            self.out.write(text)
        else:
            raw.write(text.encode())
        self.out.flush()

    def tell(self, text: str) -> None:
        """Print why something was not done."""
        print(text, file=self.err, flush=True)


@dataclass(frozen=True, slots=True)
class Asked:
    """One command as it was typed, with its surroundings."""

    around: Surroundings
    diary_path: Path
    person_name: str | None
    options: Any  # argparse's namespace: each verb knows its own words

    @contextmanager
    def diary(self, *, to_read: bool = False, when_due: bool = True) -> Iterator[Diary]:
        """The diary that the command speaks of, closed afterwards.

        With `to_read` it also opens where no id of this computer can be kept, which only changes
        need: a full or write-protected home folder hides no reading. The full check is made when it
        is due, unless the command makes it itself.
        """
        from uuid import UUID

        from app.store.checks import check_when_due
        from app.store.diary_file import open_diary
        from app.store.installation import installation_id

        try:
            installation = installation_id(self.around.state)
        except StoreUnavailable:
            if not to_read:
                raise
            installation = UUID(int=0)
        around = self.around
        with open_diary(self.diary_path, installation, now=around.now, state=around.state) as diary:
            if when_due:
                check_when_due(diary, around.state, now=around.now)
            diary.writer = self.writer()
            for note in diary.notes:
                if not note.told_before:
                    around.tell(note.sentence)
            yield diary

    def writer(self) -> str | None:
        """Who makes the change, where somebody said so; a name that is none is refused."""
        from app.domain.person import checked_name

        said = self.options.writer
        return None if said is None else checked_name(said)

    @contextmanager
    def person(self, *, to_read: bool = False) -> Iterator[tuple[Diary, Person]]:
        """The diary and the person that the command speaks of."""
        from app.store.people import persons
        from app.work.people import chosen_person

        with self.diary(to_read=to_read) as diary:
            yield diary, chosen_person(persons(diary), self.person_name)
