"""A recipe as TOML text, so that the next file of its source is read the same way."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping

from app.domain.glucose import Bound
from app.exchange.recipe import ControlAs, DoseAs, EventAs, MarkAs, Meaning, OffScale, Recipe

_PLAIN = ("encoding", "delimiter", "date_format", "date_order", "time_format", "zone")


def recipe_text(recipe: Recipe) -> str:
    """The TOML text of a recipe; reading it gives the recipe again.

    Answers for one file alone (`unit_settled`, `unit_from`) are no part of it.
    """
    return "\n".join(_lines(recipe)) + "\n"


def _lines(recipe: Recipe) -> Iterator[str]:
    yield f"name = {_text(recipe.name)}"
    if recipe.source != recipe.name:
        yield f"source = {_text(recipe.source)}"
    for key in _PLAIN:
        value = getattr(recipe, key)
        if value is not None:
            yield f"{key} = {_text(value)}"
    if recipe.skip:
        yield f"skip = {recipe.skip}"
    if recipe.header is not None:
        yield f"header = {'true' if recipe.header else 'false'}"
    if recipe.unit is not None:
        yield f"unit = {_text(recipe.unit.value)}"
    if recipe.times != "clock":
        yield f"times = {_text(recipe.times)}"
    if recipe.slot_times:
        yield f"slot_times = {_texts(recipe.slot_times)}"
    yield from _off_scale(recipe.off_scale)
    yield from _table("columns", {role: _column(at) for role, at in recipe.columns.items()})
    yield from _table("codes", {code: _meaning(each) for code, each in recipe.codes.items()})
    yield from _table("marks", {word: _text(mark.value) for word, mark in recipe.marks.items()})


def _off_scale(off_scale: OffScale) -> Iterator[str]:
    more = {
        word: bound
        for word, bound in off_scale.words.items()
        if OffScale().words.get(word) is not bound
    }
    said: dict[str, str] = {}
    for key, bound in (("low", Bound.BELOW), ("high", Bound.ABOVE)):
        words = tuple(word for word, each in more.items() if each is bound)
        if words:
            said[key] = _texts(words)
    for key, limit in (("low_limit", off_scale.low_limit), ("high_limit", off_scale.high_limit)):
        if limit is not None:
            said[key] = _text(limit)
    yield from _table("off_scale", said)


def _table(name: str, said: Mapping[str, str]) -> Iterator[str]:
    if said:
        yield ""
        yield f"[{name}]"
        for key, value in said.items():
            yield f"{_text(key)} = {value}"


def _column(at: str | int) -> str:
    return str(at) if isinstance(at, int) else _text(at)


def _meaning(meaning: Meaning) -> str:
    if isinstance(meaning, MarkAs):
        after = meaning.minutes_after
        more = "" if after is None else f", minutes_after = {after}"
        return f"{{ mark = {_text(meaning.mark.value)}{more} }}"
    if isinstance(meaning, DoseAs):
        more = "" if meaning.kind is None else f", kind = {_text(meaning.kind)}"
        return f"{{ dose = {_text(meaning.what)}, unit = {_text(meaning.unit)}{more} }}"
    if isinstance(meaning, EventAs):
        parts = [f"event = {_text(meaning.kind)}"]
        parts += [
            f"{key} = {_text(value)}"
            for key, value in (("level", meaning.level), ("text", meaning.text))
            if value is not None
        ]
        return f"{{ {', '.join(parts)} }}"
    if isinstance(meaning, ControlAs):
        return f"{{ control = {_text(meaning.level or 'any')} }}"
    return f"{{ leave_out = {_text(meaning.why)} }}"


def _texts(texts: tuple[str, ...]) -> str:
    return f"[{', '.join(map(_text, texts))}]"


def _text(text: str) -> str:
    """A basic string of TOML: JSON's escapes are among those of TOML, but for the delete sign."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
