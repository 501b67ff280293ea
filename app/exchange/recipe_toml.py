"""A recipe read from its TOML text, each fault refused in a sentence that names the key."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from app.domain.clock import zone_named
from app.domain.errors import Refused
from app.domain.glucose import Bound
from app.domain.marks import Mark, known_mark
from app.domain.numerals import plain_number
from app.exchange.answers import answered
from app.exchange.dates import date_pattern
from app.exchange.recipe import (
    EVENTS,
    ORDERS,
    ROLES,
    ControlAs,
    DoseAs,
    EventAs,
    LeftOut,
    MarkAs,
    Meaning,
    OffScale,
    Recipe,
)
from app.exchange.times import clock_time, time_pattern

_KEYS = (
    "name",
    "source",
    "encoding",
    "delimiter",
    "skip",
    "header",
    "unit",
    "date_format",
    "date_order",
    "time_format",
    "zone",
    "times",
    "slot_times",
    "off_scale",
    "columns",
    "codes",
    "marks",
)
_CODE_KEYS = {
    "mark": ("mark", "minutes_after"),
    "dose": ("dose", "unit", "kind"),
    "event": ("event", "level", "text"),
    "control": ("control",),
    "leave_out": ("leave_out",),
}


def read_recipe(text: str, *, where: str) -> Recipe:
    """Read a recipe from TOML text; `where` names it in messages.

    Raises
    ------
    Refused
        For text that is not TOML, an unknown key, a wrong type or a value with no meaning.
    """
    try:
        found = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as problem:
        raise Refused(f"{where} is not a recipe in TOML: {problem}.") from problem
    given = _Given(found, where)
    given.allow(_KEYS)
    name = given.text("name")
    if not name:
        raise given.fault("name", "is missing; give the recipe a name")
    columns = _columns(given)
    recipe = Recipe(
        name=name,
        source=given.text("source") or name,
        skip=given.count("skip") or 0,
        header=given.truth("header"),
        date_format=given.text("date_format"),
        time_format=given.text("time_format"),
        times=given.one_of("times", ("clock", "slot")) or "clock",
        slot_times=given.texts("slot_times"),
        zone=given.text("zone"),
        off_scale=_off_scale(given.table("off_scale")),
        columns=columns,
        codes=_codes(given, columns),
        marks=_marks(given.table("marks")),
    )
    _check_forms(recipe, given)
    return replace(
        answered(
            recipe,
            encoding=given.text("encoding"),
            delimiter=given.text("delimiter"),
            date_order=given.one_of("date_order", ORDERS),
            unit=given.text("unit"),
        ),
        unit_settled=False,
    )


class _Given:
    """A TOML table with typed access, whose faults name the key and the place."""

    def __init__(self, found: Mapping[str, Any], where: str) -> None:
        self.found, self.where = found, where

    def fault(self, key: str, why: str) -> Refused:
        return Refused(f'{self.where}: "{key}" {why}.')

    def allow(self, keys: tuple[str, ...]) -> None:
        for key in self.found:
            if key not in keys:
                raise self.fault(key, f"is not a key here; known are {', '.join(keys)}")

    def text(self, key: str) -> str | None:
        found = self._typed(key, str, "text in quotation marks")
        return None if found is None else str(found)

    def count(self, key: str) -> int | None:
        found = self._typed(key, int, "a whole number")
        if found is not None and not 0 <= found <= 100_000:
            raise self.fault(key, f"is {found}; it has to lie from 0 to 100000")
        return None if found is None else int(found)

    def truth(self, key: str) -> bool | None:
        found = self._typed(key, bool, "true or false")
        return None if found is None else bool(found)

    def one_of(self, key: str, choices: tuple[str, ...]) -> str | None:
        found = self.text(key)
        if found is not None and found not in choices:
            raise self.fault(key, f'is "{found}"; it has to be one of {", ".join(choices)}')
        return found

    def texts(self, key: str) -> tuple[str, ...]:
        found: list[object] = self._typed(key, list, "a list of texts") or []
        if not all(isinstance(item, str) for item in found):
            raise self.fault(key, "has to be a list of texts in quotation marks")
        return tuple(str(item) for item in found)

    def table(self, key: str) -> _Given:
        found: dict[str, Any] = self._typed(key, dict, "a table") or {}
        return _Given(found, f"{self.where}, {key}")

    def _typed(self, key: str, kind: type, words: str) -> Any:
        found = self.found.get(key)
        if found is None or type(found) is kind:  # a bool is an int, but true is no count
            return found
        raise self.fault(key, f"has to be {words}")


def _columns(given: _Given) -> dict[str, str | int]:
    columns = given.table("columns")
    columns.allow(ROLES)
    for role, column in columns.found.items():
        if type(column) not in (str, int) or column == "" or (type(column) is int and column < 1):
            raise columns.fault(role, "has to be a column's name, or its number from 1")
    found = dict(columns.found)
    if found and "value" not in found:
        raise given.fault("columns", "names no value column")
    if found and not {"date", "datetime"} & found.keys():
        raise given.fault("columns", "names no date or datetime column")
    for twice in ("date", "time"):
        if "datetime" in found and twice in found:
            raise given.fault("columns", f'has both "datetime" and "{twice}"; give one of them')
    return found


def _codes(given: _Given, columns: Mapping[str, str | int]) -> dict[str, Meaning]:
    codes = given.table("codes")
    if ("code" in columns) != bool(codes.found):
        raise given.fault("codes", "and a code column go together; give both or neither")
    return {code.strip(): _meaning(code, codes.table(code), codes) for code in codes.found}


def _meaning(code: str, entry: _Given, codes: _Given) -> Meaning:
    kinds = [kind for kind in _CODE_KEYS if kind in entry.found]
    if len(kinds) != 1:
        raise codes.fault(code, f"has to say one of {', '.join(_CODE_KEYS)}")
    kind = kinds[0]
    entry.allow(_CODE_KEYS[kind])
    word = entry.text(kind)
    if not word:
        raise entry.fault(kind, "is empty")
    if kind == "mark":
        return MarkAs(_mark(word, entry, kind), entry.count("minutes_after"))
    if kind == "dose":
        return DoseAs(word, entry.text("unit") or "U", entry.text("kind"))
    if kind == "leave_out":
        return LeftOut(word)
    if kind == "control":
        return ControlAs(None if word == "any" else word)
    return EventAs(entry.one_of("event", EVENTS) or word, entry.text("level"), entry.text("text"))


def _marks(given: _Given) -> dict[str, Mark]:
    return {
        word.strip().casefold(): _mark(given.text(word) or "", given, word) for word in given.found
    }


def _mark(code: str, given: _Given, key: str) -> Mark:
    mark = known_mark(code)
    if mark is None:
        raise given.fault(key, f'is "{code}"; the marks are {", ".join(Mark)}')
    return mark


def _off_scale(given: _Given) -> OffScale:
    given.allow(("low", "high", "low_limit", "high_limit"))
    words = dict(OffScale().words)
    for key, bound in (("low", Bound.BELOW), ("high", Bound.ABOVE)):
        words.update({word.strip().casefold(): bound for word in given.texts(key)})
    return OffScale(words, _limit(given, "low_limit"), _limit(given, "high_limit"))


def _limit(given: _Given, key: str) -> str | None:
    found = given.found.get(key)
    if found is None:
        return None
    limit = None if type(found) not in (str, int, float) else plain_number(str(found))
    if limit is None or float(limit) == 0:
        raise given.fault(key, "has to be a plain number above 0")
    return limit


def _check_forms(recipe: Recipe, given: _Given) -> None:
    for key, form, check in (
        ("date_format", recipe.date_format, date_pattern),
        ("time_format", recipe.time_format, time_pattern),
        ("zone", recipe.zone, zone_named),
    ):
        try:
            if form is not None:
                check(form)
        except (ValueError, Refused) as problem:
            raise given.fault(key, f"can't be used: {str(problem).rstrip('.')}") from problem
    for text in recipe.slot_times:
        if clock_time(text) is None:
            raise given.fault("slot_times", f'holds "{text}", which is no time of day')
