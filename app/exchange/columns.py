"""Which column of a file means what: by the recipe, or by plain words in its header."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from app.domain.errors import Question, Refused
from app.domain.glucose import Unit
from app.exchange.recipe import Recipe
from app.exchange.units import unit_named, unit_within

_WORDS = {
    "date": "date|day|measurement date|reading date|test date",
    "time": "time|clock|time of day|measurement time|reading time|test time",
    "datetime": "datetime|date time|date and time|timestamp|when|measured at|taken at",
    "value": "glucose|blood glucose|blood sugar|bg|value|result|reading|glucose value|"
    "glucose result|glucose reading|blood glucose value",
    "unit": "unit|units",
    "mark": "mark|meal|meal mark|meal marker|meal tag",
    "minutes_after": "minutes after|minutes after meal",
    "note": "note|notes|comment|comments|remark|remarks",
    "tags": "tag|tags",
    "site": "site|sample site",
    "meter": "meter",
}
_ROLE = {word: role for role, words in _WORDS.items() for word in words.split("|")}
_KINDS = {"what", "kind", "type", "record type", "event type", "code"}
_BRACKETS = re.compile(r"[(\[].*?[)\]]")
_NOT_WORDS = re.compile(r"[\W_]+")


@dataclass(frozen=True, slots=True)
class Columns:
    """The place of each role among the fields, the titles, and the unit that a title names."""

    at: dict[str, int]
    width: int
    titles: tuple[str, ...] = ()
    title_unit: tuple[Unit, str] | None = None

    @property
    def date_at(self) -> int:
        """The column that the date stands in."""
        return self.at["date"] if "date" in self.at else self.at["datetime"]

    @property
    def value_title(self) -> str:
        """The title of the value column, or its number where there are no titles."""
        place = self.at.get("value", 0)
        return self.titles[place].strip() if self.titles else str(place + 1)


def columns_by_recipe(recipe: Recipe, titles: Sequence[str] | None, width: int) -> Columns:
    """The columns that a recipe names, by title or by number.

    Raises
    ------
    Refused
        For a title or number that the file does not have, saying which ones it has.
    """
    names = [title.strip().casefold() for title in titles or ()]
    at: dict[str, int] = {}
    for role, column in recipe.columns.items():
        if isinstance(column, int):
            if column > width:
                raise Refused(
                    f'The recipe puts "{role}" in column {column}, but the file has {width}. '
                    "Nothing was read."
                )
            at[role] = column - 1
        else:
            at[role] = _place(column, names, titles or ())
    return _with_unit(at, titles or (), width)


def columns_by_words(titles: Sequence[str]) -> Columns | Question | None:
    """The columns that plain words in a header tell; None where it is no such header.

    A question where two columns could be the same thing.
    """
    at: dict[str, int] = {}
    for place, title in enumerate(titles):
        role = _role(title)
        if role is None:
            continue
        if role in at:
            return columns_question(
                titles,
                f'"{titles[at[role]].strip()}" and "{title.strip()}" could both be the {role}',
            )
        at[role] = place
    if "time" in at and not {"date", "datetime"} & at.keys():
        at["datetime"] = at.pop("time")
    if "datetime" in at and "date" in at and _plain(titles[at["datetime"]]) == "when":
        # Beside a date, "when" says which meal it was.
        at.setdefault("mark", at.pop("datetime"))
    if "datetime" in at:
        at.pop("date", None)
        at.pop("time", None)
    if "value" not in at or not {"date", "datetime"} & at.keys():
        return None
    return _with_unit(at, titles, len(titles))


def role_of_title(title: str) -> str | None:
    """What the plain words of one title tell, for a guess that a person looks at.

    A title that is a unit alone tells a value. One that asks what a row is tells its kind: such a
    file may hold ketones or doses too, and nobody but the person knows its words.
    """
    role = _role(title)
    if role is not None:
        return role
    if _plain(title) in _KINDS:
        return "code"
    return "value" if unit_named(_BRACKETS.sub(" ", title)) is not None else None


def columns_question(titles: Sequence[str], why: str) -> Question:
    """Ask for a recipe that names the columns."""
    shown = ", ".join(f"{place} {title.strip()[:30]}" for place, title in enumerate(titles[:20], 1))
    return Question(
        "columns",
        f"Which column is what is not clear: {why}. The columns are: {shown}. Write a recipe that "
        "names the date, time and value columns. Nothing was read.",
        ("--recipe FILE.toml",),
    )


def _place(column: str, names: list[str], titles: Sequence[str]) -> int:
    name = column.strip().casefold()
    found = names.count(name)
    if found == 1:
        return names.index(name)
    there = ", ".join(f'"{title.strip()}"' for title in titles[:40]) or "none with a name"
    why = "no column" if not found else f"{found} columns; give the number"
    raise Refused(
        f'The file has {why} named "{column}". Its columns are: {there}. Nothing was read.'
    )


def _role(title: str) -> str | None:
    return _ROLE.get(_plain(title))


def _plain(title: str) -> str:
    """The words of a title without its unit and without signs."""
    named = unit_within(title)
    plain = _BRACKETS.sub(" ", title if named is None else title.replace(named[1], " "))
    return _NOT_WORDS.sub(" ", plain).strip().casefold()


def _with_unit(at: dict[str, int], titles: Sequence[str], width: int) -> Columns:
    unit = unit_within(titles[at["value"]]) if titles else None
    return Columns(at, width, tuple(titles), unit)
