"""Each file of the invented households, read as a person would in the window, with no recipe."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.domain.marks import Mark
from app.domain.person import Person
from app.exchange.file_read import FileRead, ReadingRow
from app.exchange.recipe import LeftOut, MarkAs, Recipe
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.store.diary import Diary
from app.work.picked import LookedAtPicked, Wish, bring_in_picked, look_at_picked
from sample_db.files import FOLDER
from tests.households import corwin, new_diary, tilde

NOW = datetime(2026, 9, 12, 9, tzinfo=UTC)
FILES = sorted(FOLDER.glob("*.csv"))
_MOST_ANSWERS = 40
_METERS = ("blue", "grey", "spare", "black")


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def owner(diary: Diary, path: Path) -> Person:
    return corwin(diary) if path.name.startswith("corwin") else tilde(diary)


def recipe_of(path: Path) -> Recipe:
    (found,) = (each for each in FOLDER.glob("*.toml") if path.name.startswith(each.stem))
    return read_recipe(found.read_text(encoding="utf-8"), where=found.name)


def as_said(looked: LookedAtPicked, wish: Wish, truth: Recipe) -> Wish | None:
    """What somebody who knows the file says next; None where nothing is asked any more."""
    for question in looked.questions:
        if question.kind == "columns":
            roles = dict(looked.peek.roles)
            if "Sign" in looked.peek.titles:  # no word tells that these are marks
                roles["mark"] = looked.peek.titles.index("Sign")
            return replace(wish, columns=roles)
        if question.kind == "date_order":
            first = str(truth.date_format)[0]
            return replace(wish, date_order={"D": "dmy", "M": "mdy", "Y": "ymd"}[first])
        raise AssertionError(question.asks)
    for word in looked.unknown:
        key = (word.kind, word.word)
        if key not in wish.words:
            return replace(wish, words={**wish.words, key: meant(word.kind, word.word, truth)})
    return None


def meant(kind: str, word: str, truth: Recipe) -> str:
    if kind == "mark":
        return truth.marks[word.casefold()].value
    meaning = truth.codes[word]
    if isinstance(meaning, LeftOut):
        return "leave-out"
    assert isinstance(meaning, MarkAs)
    return "glucose" if meaning.mark is Mark.NONE else meaning.mark.value


def told(diary: Diary, person: Person, path: Path) -> tuple[LookedAtPicked, Wish]:
    """The file once every question about it is answered."""
    truth, data = recipe_of(path), path.read_bytes()
    wish = Wish(meter=next((each for each in _METERS if f"-{each}-" in path.name), None))
    if "spare" in path.name:  # its column of keys has no word that tells it
        wish = replace(wish, columns={"datetime": 0, "value": 1, "code": 2})
    for _ in range(_MOST_ANSWERS):
        looked = look_at_picked(diary, person, path.name, data, wish, now=NOW)
        said = as_said(looked, wish, truth)
        if said is None:
            return looked, wish
        wish = said
    raise AssertionError("it never stops asking")


def results(read: FileRead) -> list[tuple[int, str, str | None, str, str]]:
    return [
        (row.line, f"{row.wall}", row.glucose.value, row.glucose.unit.value, row.mark.value)
        for row in read.rows
        if isinstance(row, ReadingRow)
    ]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_answers_alone_read_a_file_as_its_recipe_does(path: Path, diary: Diary) -> None:
    looked, _ = told(diary, owner(diary, path), path)

    by_recipe = read_table(path.read_bytes(), recipe_of(path))
    assert results(looked.read) == results(by_recipe)
    assert len(looked.read.problems) == len(by_recipe.problems)
    assert looked.found is not None
    assert len(looked.rows) == looked.found.account.seen


@pytest.mark.parametrize("meter", ["tilde-blue", "tilde-grey", "tilde-spare", "corwin-black"])
def test_what_was_answered_once_reads_every_later_copy(meter: str, diary: Diary) -> None:
    first, *later = (path for path in FILES if path.name.startswith(meter))
    person = owner(diary, first)
    _, wish = told(diary, person, first)
    remembered = replace(wish, remember=meter)
    bring_in_picked(diary, person, first.name, first.read_bytes(), remembered, now=NOW)

    for path in later:
        wish = Wish(meter=wish.meter)
        looked = look_at_picked(diary, person, path.name, path.read_bytes(), wish, now=NOW)

        assert looked.questions == ()
        assert looked.recipe_name == meter
        assert [row[:4] for row in results(looked.read)] == [
            row[:4] for row in results(read_table(path.read_bytes(), recipe_of(path)))
        ]
        bring_in_picked(diary, person, path.name, path.read_bytes(), wish, now=NOW)


def test_ketones_never_come_in_as_glucose(diary: Diary) -> None:
    path = FOLDER / "tilde-ketones-2026-02.csv"

    looked, _ = told(diary, tilde(diary), path)

    assert looked.found is not None
    assert looked.found.account.new == 0
    assert looked.found.account.refused == looked.found.account.seen == 8
