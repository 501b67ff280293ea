from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.domain.errors import Refused
from app.domain.person import Person
from app.exchange.file_read import ControlRow, ReadingRow
from app.store import imports
from app.store.diary import Diary
from app.store.readings import readings_of
from app.work.picked import (
    ALREADY,
    ASKED,
    NEW,
    REFUSED,
    LookedAtPicked,
    Wish,
    bring_in_picked,
    look_at_picked,
)
from app.work.row_answers import RowAnswers
from tests.commands import Terminal
from tests.households import NOW, new_diary, tilde, written

AS_IT_IS = Wish()
PLAIN = "Date,Time,Glucose (mmol/L),Note\n2026-03-01,07:00,6.2,\n2026-03-02,07:05,OVER,\n"
STRANGE = "Wann;Was;Wieviel\n01.03.2026 07:00;n;6,2\n14.03.2025 07:00;k;7,1\n"


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    return tilde(diary)


def look(diary: Diary, person: Person, text: str, wish: Wish = AS_IT_IS) -> LookedAtPicked:
    return look_at_picked(diary, person, "meter.csv", text.encode(), wish, now=NOW)


def results(found: LookedAtPicked) -> list[tuple[int, str]]:
    return [(each.line, each.result) for each in found.rows]


def test_each_row_is_told_in_the_order_of_the_file(diary: Diary, person: Person) -> None:
    written(diary, person, "2026-03-01 06:58", "6.2")

    found = look(diary, person, PLAIN + "2026-03-03,25:00,7.0,\n2026-03-04,07:00,7.0,\n")

    assert results(found) == [(2, ASKED), (3, REFUSED), (4, REFUSED), (5, NEW)]
    assert found.found is not None
    assert found.found.account.seen == len(found.rows)


def test_a_word_of_a_value_can_be_explained(diary: Diary, person: Person) -> None:
    (word,) = look(diary, person, PLAIN).unknown
    assert (word.kind, word.word, word.rows, word.line) == ("value", "OVER", 1, 3)

    found = look(diary, person, PLAIN, Wish(words={("value", "OVER"): "above"}))

    assert found.unknown == ()
    assert results(found) == [(2, NEW), (3, NEW)]


def test_columns_that_no_word_tells_are_chosen_and_their_codes_explained(
    diary: Diary, person: Person
) -> None:
    asked = look(diary, person, STRANGE)
    assert [question.kind for question in asked.questions] == ["columns"]
    assert asked.peek.titles == ("Wann", "Was", "Wieviel")

    wish = Wish(columns={"datetime": 0, "code": 1, "value": 2}, unit="mmol/L", meter="blue")
    unknown = look(diary, person, STRANGE, wish).unknown
    assert [(word.kind, word.word) for word in unknown] == [("code", "n"), ("code", "k")]
    said = {("code", "n"): "glucose", ("code", "k"): "control"}
    found = look(
        diary,
        person,
        STRANGE,
        Wish(columns=wish.columns, unit="mmol/L", meter="blue", words=said),
    )

    assert [type(each.row) for each in found.rows] == [ReadingRow, ControlRow]
    assert results(found) == [(2, NEW), (3, NEW)]


def test_columns_without_a_value_are_refused(diary: Diary, person: Person) -> None:
    with pytest.raises(Refused, match="which column holds the date and which the value"):
        look(diary, person, STRANGE, Wish(columns={"date": 0}))


def test_how_a_file_was_read_is_remembered_for_the_next_of_its_source(
    diary: Diary, person: Person
) -> None:
    said = {("code", "n"): "glucose", ("code", "k"): "leave-out"}
    columns = {"datetime": 0, "code": 1, "value": 2}
    wish = Wish(columns=columns, unit="mmol/L", words=said, remember="kitchen")
    bring_in_picked(diary, person, "a.csv", STRANGE.encode(), wish, now=NOW)

    found = look(diary, person, STRANGE + "02.03.2026 07:00;n;5,5\n")

    assert found.recipe_name == "kitchen"
    assert results(found) == [(2, ALREADY), (3, REFUSED), (4, NEW)]
    with diary.reading() as connection:
        assert imports.recipes_kept(connection) == ["kitchen"]


def test_a_kept_recipe_need_not_be_used(diary: Diary, person: Person) -> None:
    wish = Wish(words={("value", "OVER"): "above"}, remember="kitchen")
    bring_in_picked(diary, person, "a.csv", PLAIN.encode(), wish, now=NOW)

    found = look(diary, person, PLAIN, Wish(forget=True))

    assert found.recipe_name is None
    assert results(found) == [(2, ALREADY), (3, REFUSED)]  # it stays the file of that source


def test_an_import_can_be_stopped_and_leaves_no_trace(diary: Diary, person: Person) -> None:
    class Stopped(Exception):
        pass

    def stop(_done: int, _all: int) -> None:
        raise Stopped

    before = diary.path.read_bytes()
    with pytest.raises(Stopped):
        bring_in_picked(diary, person, "a.csv", PLAIN.encode(), Wish(), now=NOW, step=stop)

    assert readings_of(diary, person) == []
    assert diary.path.read_bytes() == before


def test_an_answer_about_a_row_goes_with_the_file(diary: Diary, person: Person) -> None:
    written(diary, person, "2026-03-01 06:58", "6.2")
    wish = Wish(answers=RowAnswers({2: "one"}))

    bring_in_picked(diary, person, "a.csv", PLAIN.encode(), wish, now=NOW)

    assert [each.glucose.value for each in readings_of(diary, person)] == ["6.2"]


def test_the_command_knows_the_source_again(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    recipe = tmp_path / "kitchen.toml"
    recipe.write_text(
        'name = "kitchen"\n[columns]\ndatetime = "Wann"\ncode = "Was"\nvalue = "Wieviel"\n'
        '[codes]\n"n" = { mark = "none" }\n"k" = { leave_out = "control test" }\n'
    )
    file = tmp_path / "a.csv"
    file.write_text(STRANGE)
    terminal.ok("import", str(file), "--recipe", str(recipe))

    again = terminal.ok("import", str(file))
    asked = terminal.type("import", str(file), "--recipe", "none")

    assert "2 rows = 0 new + 1 already there + 1 refused + 0 held" in again.out
    assert 'Read by the recipe "kitchen"' in again.out
    assert (asked.code, asked.out) == (1, "")
