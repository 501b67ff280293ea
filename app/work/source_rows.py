"""Which row of which file a reading came from, told so that another diary knows it again."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from uuid import UUID

from app.domain.errors import DiaryError
from app.domain.person import Person
from app.domain.reading import Reading
from app.exchange.recipe import Recipe
from app.exchange.recipe_toml import read_recipe
from app.exchange.source_key import Raw, told_as_it_is, told_keys
from app.store.diary import Diary
from app.store.imports import kept_recipes, keys_of

_GONE = 8  # equal rows of a file that came before and are gone from the diary since, at most


def source_rows(diary: Diary, person: Person, readings: Sequence[Reading]) -> dict[UUID, str]:
    """By uid, what the source key of a reading was made of; those typed by hand have none.

    A key holds the uid of the person, so it is of no use in another diary; with this the import
    there makes it anew, and the meter's own file does not come in a second time.
    """
    keys = keys_of(diary, person)
    if not keys:
        return {}
    sources = _sources(diary)
    alike: dict[Raw, list[UUID]] = {}
    for each in readings:
        if each.uid in keys:
            stamp = each.stamp
            raw = (stamp.wall, stamp.value, stamp.unit, stamp.code)
            alike.setdefault(raw, []).append(each.uid)
    found: dict[UUID, str] = {}
    for raw, uids in alike.items():
        told = told_keys(raw, person.uid.bytes, sources, len(uids) + _GONE)
        found.update((uid, told.get(keys[uid]) or told_as_it_is(keys[uid])) for uid in uids)
    return found


def _sources(diary: Diary) -> tuple[str, ...]:
    """The names that files of this diary had as sources: without a recipe, and of each kept one."""
    names = [Recipe().source]
    for name, spec in kept_recipes(diary):
        names.append(name)
        with suppress(DiaryError):  # one of a newer program, or emptied from the bin
            names.append(read_recipe(spec, where=name).source)
    return tuple(dict.fromkeys(names))
