"""Sound files to begin with: those of the sample, and plain ones in several forms."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from app.exchange.recipe import Recipe
from app.exchange.recipe_toml import read_recipe
from sample_db.files import FOLDER


class Sound(NamedTuple):
    """A file that can be read, its recipe if it needs one, and the meter it is a copy of."""

    name: str
    data: bytes
    recipe: Recipe | None
    meter: str | None


def sound_files() -> list[Sound]:
    """Every sample file with its recipe, and plain files in several forms and encodings."""
    found = []
    for path in sorted(FOLDER.glob("*.csv")):
        recipe = next(
            each for each in sorted(FOLDER.glob("*.toml")) if path.name.startswith(each.stem)
        )
        spec = read_recipe(recipe.read_text(encoding="utf-8"), where=recipe.name)
        found.append(Sound(path.name, path.read_bytes(), spec, _meter(path)))
    text = _plain(",", lambda at: f"{at:%Y-%m-%d}")
    found += [
        Sound("plain.csv", text.encode(), None, None),
        Sound("plain-16.csv", text.encode("utf-16"), None, None),
        Sound("plain-cp1252.csv", text.encode("cp1252"), None, "kitchen"),
        Sound("days.txt", _plain(";", lambda at: f"{at:%d.%m.%Y}").encode(), None, None),
        Sound("months.txt", _plain("\t", lambda at: f"{at:%m/%d/%Y}").encode(), None, "kitchen"),
        Sound("named.txt", _plain("|", lambda at: f"{at:%d %b %Y}").encode(), None, None),
    ]
    return found


def _meter(path: Path) -> str | None:
    parts = path.stem.split("-")
    return parts[1] if parts[1] in ("blue", "grey", "spare", "black") else None


def _plain(between: str, day: Callable[[datetime], str]) -> str:
    begun = datetime(2026, 2, 20, 7, 5)  # noqa: DTZ001 - the wall time of a file, without a zone
    lines = [between.join(("Date", "Time", "Glucose (mmol/L)", "Meal", "Note"))]
    for number in range(60):
        at = begun + timedelta(hours=7 * number)
        value = "LO" if number == 17 else f"{4 + number % 70 / 10:.1f}"
        mark = ("fasting", "after lunch", "", "bedtime")[number % 4]
        note = '"said ""later"", at café"' if number % 11 == 0 else ""
        lines.append(between.join((day(at), f"{at:%H:%M}", value, mark, note)))
    return "\r\n".join(lines) + "\r\n"
