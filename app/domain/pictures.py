"""Which pages of a diary are wanted as files: what a command asks and the window draws."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Pictures:
    """Which pages are to be drawn into files, and how; no page means every page."""

    diary: Path
    person: str | None
    out: Path
    page: str | None = None
    days: int | None = None
    ending: date | None = None
    dark: bool = False
    width: int = 1280
    height: int = 800
    scale: float = 1.0
