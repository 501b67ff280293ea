"""What happens with each mess that the diaries of AIM-94 hold; line numbers are those of the set.

M. Kahn (1994), Diabetes [data set], UCI Machine Learning Repository, doi 10.24432/C5T59G (AIM-94,
Washington University, St. Louis).
"""

from __future__ import annotations

import hashlib
from collections import Counter
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import cast

import pytest

from app.domain.errors import Problem
from app.domain.glucose import Bound
from app.exchange.file_read import DoseRow, EventRow, FileRead, ReadingRow
from app.exchange.table import read_table
from app.exchange.unknown_words import UnknownWord, unknown_words
from app.store.people import persons
from app.store.readings import readings_of
from app.work.bring_in import BroughtIn, File, bring_in
from app.work.people import add_person
from tests.households import NOW, corwin, new_diary
from tests.open_data import AIM94, AIM94_NAMES, aim94, aim94_recipe, line_of, needs_aim94

pytestmark = needs_aim94

BROKEN = {
    "data-27": (806,),
    "data-29": (208, 434, 532, 559, 642, 668, 839, 930, 1028, 1143),
}


def refused(name: str, line: int) -> str:
    found = line_of(aim94(name), line)
    assert isinstance(found, Problem)
    return found.why


def reading(name: str, line: int) -> ReadingRow:
    found = line_of(aim94(name), line)
    assert isinstance(found, ReadingRow)
    return found


def test_a_date_that_does_not_exist_is_refused_with_all_its_rows() -> None:
    whys = {refused("data-20", line) for line in range(364, 371)}

    assert whys == {'the date "06-31-1991" is not in the calendar'}
    assert not isinstance(line_of(aim94("data-20"), 363), Problem)
    assert not isinstance(line_of(aim94("data-20"), 371), Problem)


@pytest.mark.parametrize(
    ("line", "text"), [(793, "56:35"), (794, "56:35"), (795, "56:35"), (894, "188:00")]
)
def test_a_time_that_does_not_exist_is_refused_and_never_bent(line: int, text: str) -> None:
    assert refused("data-67", line) == f'"{text}" is not a time of day'


def test_a_minute_with_one_digit_is_refused_since_it_could_be_either() -> None:
    assert refused("data-29", 786) == '"11:0" is not a time of day'  # 11:00 or the rest of 11:05?
    assert refused("data-29", 787) == '"11:0" is not a time of day'


def test_an_hour_with_one_digit_is_read() -> None:
    hour = reading("data-01", 1)

    assert (hour.raw_wall, f"{hour.wall:%H:%M}") == ("04-21-1991 9:09", "09:09")
    short = sum(
        str(row.raw_wall).partition(" ")[2].find(":") == 1
        for name in AIM94_NAMES
        for row in aim94(name).rows
    )
    assert short + 33 == 2_349  # the others are the first halves of broken records


def test_a_record_broken_over_two_lines_becomes_no_dose_and_no_reading() -> None:
    whys: Counter[str] = Counter()
    for name, firsts in BROKEN.items():
        for first in firsts:
            for line in range(first, first + 6):
                whys[refused(name, line).partition(":")[0]] += 1

    assert whys.total() == 66
    assert {why.split('"')[0] for why in whys} <= {"the date is missing", "the code "}


def test_an_empty_date_or_value_is_named() -> None:
    assert refused("data-27", 807) == "the date is missing"
    assert refused("data-27", 806) == 'the code "0" is not in the recipe'


@pytest.mark.parametrize(
    ("line", "bound"), [(170, Bound.ABOVE), (612, Bound.ABOVE), (236, Bound.BELOW)]
)
def test_text_for_a_reading_off_the_scale_is_a_bound_without_a_number(
    line: int, bound: Bound
) -> None:
    row = reading("data-02", line)

    assert (row.glucose.bound, row.glucose.value) == (bound, None)
    assert row.raw_value in ("0Hi", "0Lo")  # as it stands in the file, for the key


def test_without_a_recipe_that_knows_them_such_words_are_asked_about() -> None:
    recipe = aim94_recipe()
    plain = replace(recipe, off_scale=replace(recipe.off_scale, words={}))
    read = read_table((AIM94 / "raw" / "data-02").read_bytes(), plain)

    found = line_of(read, 170)

    assert isinstance(found, Problem)
    assert found.why == '"0Hi" is not a plain number'


def test_a_stray_mark_in_a_number_is_refused() -> None:
    assert refused("data-40", 75) == "\"0''\" is not a plain number"


def test_a_glucose_of_0_is_refused() -> None:
    assert refused("data-09", 67) == "a glucose value is not 0"


@pytest.mark.parametrize(
    ("name", "line", "value"),
    [("data-43", 273, "501"), ("data-52", 226, "501"), ("data-58", 122, "501")],
)
def test_a_value_at_a_ceiling_stays_the_number_that_was_written(
    name: str, line: int, value: str
) -> None:
    row = reading(name, line)

    assert (row.glucose.value, row.glucose.bound, row.held) == (value, Bound.EXACT, None)


def test_six_times_the_same_ceiling_are_six_readings() -> None:
    at_450 = [
        row
        for row in aim94("data-20").rows
        if isinstance(row, ReadingRow) and row.raw_value == "450"
    ]

    assert len(at_450) == 6


@pytest.mark.parametrize(
    ("name", "line", "amount"), [("data-70", 33, "344"), ("data-65", 906, "388")]
)
def test_a_glucose_value_entered_as_a_dose_stays_the_dose_that_was_written(
    name: str, line: int, amount: str
) -> None:
    row = line_of(aim94(name), line)

    assert isinstance(row, DoseRow)
    assert row.amount == amount  # nobody but its writer knows; it is in no figure of glucose


def test_code_and_value_swapped_in_one_minute_are_two_readings_as_written() -> None:
    first, second = reading("data-27", 296), reading("data-27", 298)

    assert first.wall == second.wall
    assert [(row.code, row.raw_value, row.glucose.value) for row in (first, second)] == [
        ("62", "048", "48"),
        ("48", "062", "62"),
    ]


@pytest.mark.parametrize(("name", "line", "code"), [("data-20", 104, "4"), ("data-22", 2, "36")])
def test_a_code_that_no_list_explains_is_refused_by_its_name(
    name: str, line: int, code: str
) -> None:
    assert refused(name, line) == f'the code "{code}" is not in the recipe'


def test_what_a_code_means_can_be_said_once_for_all_its_rows() -> None:
    asked: Counter[str] = Counter()
    for name in AIM94_NAMES:
        for word in unknown_words(aim94(name), aim94_recipe()):
            assert isinstance(word, UnknownWord)
            if word.kind == "code":
                asked[word.word] += word.rows

    assert (asked["56"], asked["4"], asked["36"]) == (119, 1, 1)


def brought_in(folder: Path, *names: str) -> tuple[list[BroughtIn], int]:
    """Bring files in one after the other; their accounts, and how many readings are there."""
    with new_diary(folder) as diary:
        person = corwin(diary)
        accounts = [
            bring_in(
                diary,
                person,
                File(name, (AIM94 / "raw" / name).read_bytes(), aim94(name)),
                now=NOW,
                recipe=None,
            )
            for name in names
        ]
        return accounts, len(readings_of(diary, person))


def test_records_that_two_files_share_come_in_once(tmp_path: Path) -> None:
    (first, second), _ = brought_in(tmp_path, "data-04", "data-05")

    assert first.account.already == 0
    assert second.account.already == 193  # of 197 shared lines, those with a code that is known
    assert second.account.new + 193 + second.account.refused == second.account.seen


@pytest.mark.parametrize(("name", "line"), [("data-03", 76), ("data-08", 68)])
def test_exact_duplicates_inside_a_file_stay_two(name: str, line: int, tmp_path: Path) -> None:
    raw = (AIM94 / "raw" / name).read_text().splitlines()
    assert raw[line - 1] == raw[line - 2]

    accounts, _ = brought_in(tmp_path, name, name)

    assert accounts[0].account.new == accounts[0].account.seen - accounts[0].account.refused
    assert accounts[1].account.already == accounts[0].account.new


def test_no_file_holds_two_identical_glucose_rows() -> None:
    for name in AIM94_NAMES:
        rows = [
            (row.raw_wall, row.code, row.raw_value)
            for row in aim94(name).rows
            if isinstance(row, ReadingRow)
        ]
        assert len(rows) == len(set(rows)), name


def test_rows_out_of_order_are_all_read_and_stand_in_order_in_the_diary(tmp_path: Path) -> None:
    walls = [cast(datetime, row.wall) for row in aim94("data-66").rows]
    back = sum(later < earlier for earlier, later in pairwise(walls))

    with new_diary(tmp_path) as diary:
        person = corwin(diary)
        data = (AIM94 / "raw" / "data-66").read_bytes()
        bring_in(diary, person, File("data-66", data, aim94("data-66")), now=NOW, recipe=None)
        held = [each.moment.instant for each in readings_of(diary, person) if each.moment]

    assert back == 42
    assert held == sorted(held)
    assert len(held) == sum(isinstance(row, ReadingRow) for row in aim94("data-66").rows)


def test_numbers_padded_with_zeros_are_numbers_and_keep_their_text() -> None:
    dose = line_of(aim94("data-01"), 2)
    assert isinstance(dose, DoseRow)
    assert (dose.raw_value, dose.amount) == ("009", "9")
    assert reading("data-27", 4).glucose.value == "80"  # 080 is no octal number

    padded = sum(
        str(row.raw_value).startswith("0")
        and len(str(row.raw_value)) > 1
        and str(row.raw_value).isdigit()
        for name in AIM94_NAMES
        for row in aim94(name).rows
    )
    assert padded > 10_000


def test_a_fraction_of_a_unit_stays_a_fraction() -> None:
    dose = line_of(aim94("data-10"), 57)

    assert isinstance(dose, DoseRow)
    assert dose.amount == "6.5"


def test_made_up_times_of_paper_are_told_as_meals_and_no_times() -> None:
    on_paper = []
    for name in AIM94_NAMES:
        told = Counter(row.precision for row in aim94(name).rows)
        if told["slot"] >= 0.95 * told.total():
            on_paper.append(int(name[-2:]))

    assert on_paper == [2, 6, 7, 10, 21, 26, 31, 41, 42, 53, 55, 56, 68, 70]


def test_a_month_without_entries_stays_empty() -> None:
    read = aim94("data-29")
    before, after = line_of(read, 1019), line_of(read, 1020)

    assert not isinstance(before, Problem)
    assert not isinstance(after, Problem)
    assert before.wall is not None
    assert after.wall is not None
    assert after.wall - before.wall > timedelta(days=30)
    between = [
        row for row in read.rows if row.wall is not None and before.wall < row.wall < after.wall
    ]
    assert between == []


def test_without_a_header_line_the_first_line_is_a_row() -> None:
    assert all(min(row.line for row in aim94(name).rows) == 1 for name in ("data-01", "data-70"))


def test_a_unit_that_no_file_states_is_told_from_the_values_and_said() -> None:
    plain = replace(aim94_recipe(), unit=None)

    read = read_table((AIM94 / "raw" / "data-01").read_bytes(), plain)

    assert read.questions == ()
    assert "The file names no unit; by its values it is mg/dL." in read.notes


def _repaired(text: str) -> str:
    return text.replace("06-31-1991", "06-30-1991")


def test_a_copy_that_somebody_repaired_adds_only_the_lines_that_were_changed(
    tmp_path: Path,
) -> None:
    data = (AIM94 / "raw" / "data-20").read_bytes()
    other = _repaired(data.decode()).encode()
    with new_diary(tmp_path) as diary:
        person = corwin(diary)
        accounts = []
        for name, content in (("data-20", data), ("mirror", other)):
            read: FileRead = read_table(content, aim94_recipe())
            file = File(name, content, read)
            accounts.append(bring_in(diary, person, file, now=NOW, recipe=None).account)

    assert accounts[1].already == accounts[0].new
    assert accounts[1].new == 7
    assert accounts[1].refused == accounts[0].refused - 7


def test_these_copies_are_those_that_nobody_repaired() -> None:
    for line in (AIM94 / "SHA256SUMS").read_text().splitlines():
        sum_, _, name = line.partition("  ")
        path = AIM94 / name.lstrip("./")
        if not path.is_file():
            path = AIM94 / "raw" / Path(name).name
        assert hashlib.sha256(path.read_bytes()).hexdigest() == sum_, name


def test_one_persons_rows_are_new_for_another(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        first = corwin(diary)
        second = add_person(diary, "Maude", unit="mg/dL", zone="America/Chicago", now=NOW)
        data = (AIM94 / "raw" / "data-70").read_bytes()
        file = File("data-70", data, aim94("data-70"))
        accounts = [
            bring_in(diary, person, file, now=NOW, recipe=None) for person in (first, second)
        ]
        assert len(persons(diary)) == 2

    assert accounts[0].account == accounts[1].account


def test_events_have_no_value_that_could_be_taken_for_one() -> None:
    events = [row for row in aim94("data-09").rows if isinstance(row, EventRow)]

    assert events
    assert {row.raw_value for row in events} == {"0"}
