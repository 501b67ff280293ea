from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from uuid import UUID

import pytest

from app.exchange.mark_words import MarkWords
from app.exchange.recipe import MarkAs
from app.exchange.recipe_toml import read_recipe
from sample_db import corwin_life, tilde_life
from sample_db.files import FOLDER, all_files, copyings, write_files
from sample_db.household import Household
from sample_db.memory import copied, memory_rows
from sample_db.meters import CODES
from sample_db.records import Trace

BOTH = pytest.mark.parametrize("household", [tilde_life.household, corwin_life.household])


def _rows(name: str, between: str = ",") -> list[list[str]]:
    return list(csv.reader(all_files()[name].splitlines(), delimiter=between))[1:]


def _copied_records(home: Household) -> set[UUID]:
    return {
        row.record
        for copying in copyings(home)
        for row in copied(home, memory_rows(home, copying.meter), copying)
    }


def test_the_built_files_are_what_the_builder_writes(tmp_path: Path) -> None:
    write_files(tmp_path)
    written = {path.name: path.read_bytes() for path in tmp_path.iterdir()}

    assert written == {path.name: path.read_bytes() for path in FOLDER.glob("*.csv")}


@BOTH
def test_the_copies_hold_just_what_the_diary_has_from_a_meter(
    household: Callable[[], Household],
) -> None:
    home = household()
    from_meter = {each.uid for each in home.results if each.trace is Trace.METER}

    assert _copied_records(home) == from_meter | {each.uid for each in home.controls}


def test_of_corwins_memory_just_six_records_were_overwritten_uncopied() -> None:
    home = corwin_life.household()
    rows = [row for row in memory_rows(home, "black") if f"{row.shown}" >= "2025-10-01"]
    held = _copied_records(home)

    missing = [row for row in rows if row.record not in held]

    assert [row.value for row in missing] == ["177", "95", "157", "208", "158", "130"]


def test_on_12_july_the_memory_is_full_and_reaches_back_to_23_may() -> None:
    rows = _rows("corwin-black-2026-07-12.csv")

    assert len(rows) == 100
    assert rows[-1][1:3] == ["05/23/2026", "10:03 PM"]
    assert rows[-1][3] == "116"


def test_corwins_control_tests_look_like_readings_in_his_memory() -> None:
    rows = [row[1:] for row in _rows("corwin-black-2026-07-12.csv")]

    assert ["06/01/2026", "07:00 AM", "118", ""] in rows
    assert ["07/01/2026", "01:00 AM", "109", ""] in rows


def test_spare_tells_its_control_tests_apart() -> None:
    rows = _rows("tilde-spare-2026-08-31.csv", "\t")

    assert [row[1] for row in rows if row[2] == "control"] == ["6.5", "8.9", "6.4"]


def test_other_peoples_tests_stand_in_the_memory_unmarked() -> None:
    rows = _rows("tilde-spare-2026-08-31.csv", "\t")

    assert ["17/01/2026 20:33", "5.1", ""] in rows


def test_blue_shows_its_factory_date_between_november_and_december() -> None:
    rows = _rows("tilde-blue-2026-01-20.csv", ";")
    stamps = [" ".join(row[1:3]) for row in rows]

    assert sum(".2024 " in stamp for stamp in stamps) == 35
    assert "01.01.2024 02:37" in stamps


def test_greys_last_copy_begins_after_it_was_cleared() -> None:
    rows = _rows("tilde-grey-2026-06-26.csv")

    assert rows[-1][0] == "2026-06-22"


def test_the_school_sheet_has_five_readings_and_brams_sheet_four() -> None:
    assert [row[2] for row in _rows("tilde-school-2026-06.csv")] == [
        "5.5",
        "6.0",
        "8.1",
        "5.3",
        "7.0",
    ]
    assert [row[2] for row in _rows("tilde-bram-2026-03.csv")] == ["6.0", "7.0", "8.0", "7.0"]


def test_corwins_notebook_has_the_wrong_unit_in_one_row() -> None:
    assert [row[2] for row in _rows("corwin-paper-2026.csv")] == ["157", "208", "8.2"]
    assert len(_rows("corwin-paper-2025-09.csv")) == 57


def test_every_row_has_as_many_fields_as_its_heading() -> None:
    for name, text in all_files().items():
        between = max(",;\t", key=text.splitlines()[0].count)
        widths = Counter(line.count(between) for line in text.splitlines())

        assert len(widths) == 1, name


def test_a_rebuild_gives_the_same_bytes() -> None:
    def digest() -> str:
        return sha256(repr(sorted(all_files().items())).encode()).hexdigest()

    first = digest()
    tilde_life.household.cache_clear()
    corwin_life.household.cache_clear()

    assert digest() == first


def test_every_file_has_a_recipe_that_names_its_columns() -> None:
    recipes = {
        path.stem: read_recipe(path.read_text("utf-8"), where=path.name)
        for path in FOLDER.glob("*.toml")
    }

    used = set()
    for name, text in all_files().items():
        (stem,) = [stem for stem in recipes if name.startswith(stem)]
        recipe = recipes[stem]
        heading = text.splitlines()[0].split(recipe.delimiter)
        assert recipe.name == stem
        assert set(recipe.columns.values()) <= set(heading)
        used.add(stem)
    assert used == set(recipes)


def test_recipes_know_every_word_of_every_memory() -> None:
    for meter, words in CODES.items():
        (path,) = FOLDER.glob(f"*-{meter}.toml")
        recipe = read_recipe(path.read_text("utf-8"), where=path.name)
        marks = MarkWords(recipe.marks)

        for mark, word in words.items():
            meaning = recipe.codes[word] if recipe.codes else MarkAs(marks[word])
            assert meaning == MarkAs(mark)
        assert not marks.unknown
