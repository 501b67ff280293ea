"""Running a command in this process, as the composition root would."""

from __future__ import annotations

import io
import json
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from app.cli import main
from app.cli.surroundings import Screen, Surroundings
from tests.households import NOW


@dataclass(frozen=True, slots=True)
class Done:
    """What a command did: its exit code and what it printed where."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


@dataclass(frozen=True, slots=True)
class Terminal:
    """A place to type commands in: a folder of its own and a clock that stands still."""

    folder: Path
    now: datetime = NOW
    screen: Screen | None = None

    @property
    def diary(self) -> Path:
        return self.folder / "diary.thimblebook"

    def type(self, *words: str, now: datetime | None = None) -> Done:
        """Type a command; wrong usage is exit code 2, as in a real terminal."""
        out, err = io.StringIO(), io.StringIO()
        around = Surroundings(
            now or self.now, self.diary, self.folder / "state", out, err, self.screen
        )
        try:
            code = main(words, around)
        except SystemExit as left:
            code = int(left.code or 0)
        return Done(code, out.getvalue(), err.getvalue())

    def ok(self, *words: str, now: datetime | None = None) -> Done:
        """Type a command that must succeed."""
        done = self.type(*words, now=now)
        assert done.code == 0, f"{words}: {done.err}"
        return done
