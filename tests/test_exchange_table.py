"""Whole files: dialects, encodings, broken and cut files, questions, files without a recipe."""

from __future__ import annotations

import csv
import io
from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.errors import Refused
from app.domain.glucose import Bound, Unit
from app.domain.marks import Mark
from app.exchange.answers import answered
from app.exchange.encodings import too_large
from app.exchange.file_read import Account, FileRead, ReadingRow
from app.exchange.recipe import Recipe
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table

ROWS = [
    ["2024-03-01", "07:30", "5,6", 'walked; slowly, then "ran"'],
    ["2024-03-01", "12:10", "7,1", "Frühstück"],
    ["2024-03-02", "07:15", "LO", "two\nlines"],
    ["2024-03-13", "22:00", "12,4", ""],
]
TITLES = ["Date", "Time", "Glucose (mmol/L)", "Note"]


def written(delimiter: str = ",", quoting: int = csv.QUOTE_MINIMAL, end: str = "\n") -> str:
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, delimiter=delimiter, quoting=quoting, lineterminator=end)  # type: ignore[arg-type]
    writer.writerows([TITLES, *ROWS])
    return stream.getvalue()


def readings(file: FileRead) -> list[ReadingRow]:
    assert file.questions == ()
    return [row for row in file.rows if isinstance(row, ReadingRow)]


def values(file: FileRead) -> list[str | None]:
    return [row.glucose.value for row in readings(file)]


def kinds(file: FileRead) -> list[str]:
    assert file.rows == []
    assert file.problems == []
    return [question.kind for question in file.questions]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize(
    ("quoting", "end"),
    [(csv.QUOTE_MINIMAL, "\r\n"), (csv.QUOTE_ALL, "\n"), (csv.QUOTE_ALL, "\r")],
)
def test_twelve_dialects_give_the_same_rows(delimiter: str, quoting: int, end: str) -> None:
    file = read_table(written(delimiter, quoting, end).encode(), None)

    assert file.delimiter == delimiter
    assert [row.wall for row in readings(file)] == [
        datetime.fromisoformat(f"{day}T{time}") for day, time, _, _ in ROWS
    ]
    assert values(file) == ["5.6", "7.1", None, "12.4"]
    assert [row.note for row in readings(file)] == [row[3] or None for row in ROWS]
    assert file.problems == []


@pytest.mark.parametrize(
    ("encoding", "start"),
    [
        ("utf-8", b""), ("utf-8-sig", b""), ("utf-16", b""), ("utf-16-le", b""),
        ("utf-16-be", b""), ("utf-16-be", b"\xfe\xff"), ("utf-32", b""), ("cp1252", b""),
        ("mac-roman", b""), ("cp850", b""),
    ],
)  # fmt: skip
def test_an_encoding_is_found_or_asked_and_never_guessed(encoding: str, start: bytes) -> None:
    data = start + written().encode(encoding)

    file = read_table(data, None)
    if file.questions:
        assert kinds(file) == ["encoding"]
        assert f"--encoding {encoding}" in file.questions[0].answers
        file = read_table(data, answered(None, encoding=encoding))

    assert values(file) == ["5.6", "7.1", None, "12.4"]
    assert readings(file)[1].note == "Frühstück"
    assert file.columns == tuple(TITLES)


def test_with_its_encoding_insisted_on_only_undecodable_rows_are_refused() -> None:
    file = read_table(written().encode("cp1252"), answered(None, encoding="utf8"))

    assert values(file) == ["5.6", None, "12.4"]
    assert [(problem.line, "encoding" in problem.why) for problem in file.problems] == [(3, True)]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b" \r\n\r\n", "empty"),
        (b"\xef\xbb\xbf\n", "empty"),
        (b"Date,Time,Glucose (mg/dL)\n", "no row"),
        (b"5.5\n6.1\n7.0\n", "one column"),
        (b"Glucose\n", "one column"),
        (bytes(range(256)) * 20, "not text"),
        (b"PK\x03\x04\x14\x00\x06\x00\x08\x00", "not text"),
        (bytes(range(1, 256)) * 20, "not text"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "not text"),
        (b"Date,Time,Value\n2024-03-01,07:30,1\x000\n", "not text"),
        (b"\xff\xfe", "empty"),
    ],
)
def test_a_file_that_is_no_table_is_refused_in_one_sentence(data: bytes, says: str) -> None:
    with pytest.raises(Refused, match=says) as refusal:
        read_table(data, None)

    assert "changed" in str(refusal.value)


def test_a_file_over_the_cap_is_refused_with_its_size() -> None:
    assert "1024 MB" in str(too_large(1 << 30))


def test_text_of_a_book_is_asked_about_not_imported() -> None:
    assert kinds(read_table(b"Call me, said he,\nnot now, but later,\n" * 30, None)) == ["columns"]


def cut_fully_accounted(data: bytes, whole: FileRead) -> None:
    whole_rows = {(row.line, row.raw_wall): row for row in whole.rows}
    for end in range(len(data)):
        try:
            file = read_table(data[:end], None)
        except Refused:
            continue
        assert not (file.questions and (file.rows or file.problems))
        last = data[:end].count(b"\n") + 1
        lines = [row.line for row in file.rows] + [problem.line for problem in file.problems]
        assert len(lines) == len(set(lines)) == file.seen
        assert all(line <= last for line in lines)
        for row in file.rows:
            # Whatever stands before the cut reads as it does in the whole file.
            if row.line < last - 1:
                assert whole_rows[row.line, row.raw_wall][1:] == row[1:]


def test_a_file_cut_at_any_byte_loses_no_row_without_a_word() -> None:
    more = [f"2024-04-{day:02},06:{day:02},{day % 9 + 4},{'x' * day}" for day in range(1, 31)]
    data = (written() + "\n".join(more) + "\n").encode()

    cut_fully_accounted(data, read_table(data, None))


@settings(max_examples=60, deadline=None)
@given(text=st.text(alphabet='",;\n\r\t 2024-0157:.é', max_size=120), end=st.booleans())
def test_any_line_in_between_changes_no_other_row(text: str, end: bool) -> None:
    lines = ["Date;Time;Glucose (mg/dL);Note", "2024-03-01;07:30;100;a", "2024-03-02;07:30;110;b"]
    head = "\n".join(lines)
    data = f"{head}\n{text}\n2024-03-03;07:31;120;c\n2024-03-04;07:32;130;d{chr(10) * end}"

    file = read_table(data.encode(), answered(Recipe(), delimiter=";", date_order="ymd"))

    found = [row.raw_wall for row in readings(file)]
    assert found[:2] == ["2024-03-01 07:30", "2024-03-02 07:30"]
    assert found[-1] == "2024-03-04 07:32"
    taken = [row.line for row in file.rows] + [problem.line for problem in file.problems]
    assert len(set(taken)) == len(taken) == file.seen


def test_a_utf_16_file_cut_in_a_character_is_asked_about_and_loses_its_last_row() -> None:
    data = written().encode("utf-16")[:-1]

    asked = read_table(data, None)

    assert kinds(asked) == ["encoding"]
    assert asked.questions[0].answers == ("--encoding utf-16",)
    file = read_table(data, answered(None, encoding="utf-16"))
    assert values(file) == ["5.6", "7.1", None]
    assert [problem.line for problem in file.problems] == [6]


@settings(max_examples=150, deadline=None)
@given(
    data=st.binary(max_size=60)
    | st.text('0123456789,;|\t"\r\n./:- aLOpm<', max_size=200).map(str.encode),
    header=st.sampled_from([b"", b"Date,Time,Glucose (mg/dL)\n", b'"When";Value;"Note"\n']),
    recipe=st.sampled_from(
        [
            None,
            Recipe(unit=Unit.MG_DL, date_order="dmy", columns={"date": 1, "time": 2, "value": 3}),
        ]
    ),
)
def test_no_bytes_bring_it_down(data: bytes, header: bytes, recipe: Recipe | None) -> None:
    try:
        file = read_table(header + data, recipe)
    except Refused:
        return

    assert not (file.questions and file.seen)
    assert all(problem.line > 0 and problem.why for problem in file.problems)


def test_an_unclosed_quote_loses_its_own_row_alone() -> None:
    data = b'Date,Time,Value,Note\n2024-03-01,07:30,100,a\n2024-03-02,07:30,110,"b\n' + b"".join(
        b"2024-03-%02d,07:30,120,c\n" % day for day in range(3, 30)
    )

    file = read_table(data, None)

    assert [(problem.line, problem.text) for problem in file.problems] == [
        (3, '2024-03-02,07:30,110,"b')
    ]
    assert "never closed" in file.problems[0].why
    assert len(file.rows) == 28


def test_a_quote_that_closes_far_below_swallows_no_row() -> None:
    rows = [f"2024-03-{day:02},07:30,120,c" for day in range(1, 29)]
    rows[3] = '2024-03-04,07:30,120,"c'
    rows[20] = '2024-03-21,07:30,120,c"'

    file = read_table(("Date,Time,Value,Note\n" + "\n".join(rows) + "\n").encode(), None)

    assert [problem.line for problem in file.problems] == [5]
    assert "runs over whole rows" in file.problems[0].why
    assert file.seen == 28


def test_very_long_fields_are_refused_and_shown_short() -> None:
    data = f"Date,Time,Value,Note\n2024-03-01,07:30,100,{'x' * 20_000}\n2024-03-02,7:30,110,b\n"

    for text in (data, data.replace(",b", ',"b"')):
        file = read_table(text.encode(), None)
        assert values(file) == ["110"]
        assert file.problems[0].why == "a field is too long"
        assert len(file.problems[0].text) == 200


def test_a_line_of_very_many_fields_is_refused() -> None:
    data = f"Date,Time,Result (mg/dL)\n2024-03-01,07:30,100\n{',' * 50_000}x\n"

    file = read_table(data.encode(), None)

    assert [(problem.line, problem.why) for problem in file.problems] == [
        (3, "the row has more than 1,000 fields")
    ]


def test_ragged_rows_are_refused_and_empty_ends_are_not() -> None:
    data = (
        b"Date,Time,Value,Note\n2024-03-01,07:30,100,a,,\n2024-03-02,07:30\n,,,\n\n"
        b"2024-03-03,07:30,110,2,3\n"
    )

    file = read_table(data, None)

    assert values(file) == ["100"]
    assert [(problem.line, problem.why) for problem in file.problems] == [
        (3, "the row has 2 fields where 4 belong"),
        (6, "the row has 5 fields where 4 belong"),
    ]


def test_an_even_choice_of_delimiters_is_asked() -> None:
    data = b"2024-03-01;07:30,5\n2024-03-02;07:30,6\n"

    file = read_table(data, None)

    assert kinds(file) == ["delimiter"]
    assert set(file.questions[0].answers) == {"--delimiter comma", "--delimiter semicolon"}


def test_decimal_commas_do_not_hide_the_semicolon() -> None:
    recipe = Recipe(header=False, unit=Unit.MMOL_L, columns={"date": 1, "time": 2, "value": 3})
    data = b"2024-03-01;07:30;5,6\n2024-03-02;07:30;6,1\n"

    file = read_table(data, recipe)

    assert (file.delimiter, values(file)) == (";", ["5.6", "6.1"])


def test_date_order_and_unit_are_asked_together_before_any_row_is_read() -> None:
    data = b"Date,Time,Result\n03/04/2024,07:30,25\n05/06/2024,07:30,30\n"

    assert kinds(read_table(data, None)) == ["date_order", "unit"]
    file = read_table(data, answered(None, date_order="mdy", unit="mg/dl"))
    assert [str(row.wall) for row in file.rows] == ["2024-03-04 07:30:00", "2024-05-06 07:30:00"]
    assert values(file) == ["25", "30"]


def test_a_title_against_the_recipe_is_asked_and_the_answer_stands() -> None:
    data = b"Date,Time,Glucose (mg/dL)\n2024-03-01,07:30,5.6\n2024-03-02,07:30,6.1\n"
    recipe = read_recipe('name = "x"\nunit = "mmol/L"', where="x.toml")

    asked = read_table(data, recipe)

    assert kinds(asked) == ["unit"]
    assert asked.questions[0].answers == ("--unit mg/dL", "--unit mmol/L")
    assert values(read_table(data, answered(recipe, unit="mmol/L"))) == ["5.6", "6.1"]


def test_a_file_in_the_wrong_unit_is_asked_about_as_a_whole() -> None:
    data = b"Date,Time,Result\n2024-03-01,07:30,112\n2024-03-02,07:30,98\n"

    file = read_table(data, answered(None, unit="mmol/L"))

    assert kinds(file) == ["unit"]
    assert "middle one is 98" in file.questions[0].asks


def test_a_unit_column_in_the_wrong_unit_is_asked_about() -> None:
    data = b"Date,Time,Result,Unit\n2024-03-01,07:30,112,mmol/L\n2024-03-02,07:30,98,mmol/L\n"

    assert kinds(read_table(data, None)) == ["unit"]


def test_a_unit_that_only_the_values_tell_is_said() -> None:
    file = read_table(b"Date,Time,Result\n2024-03-01,07:30,112\n2024-03-02,07:30,98\n", None)

    assert any("by its values it is mg/dL" in note for note in file.notes)
    assert [row.raw_unit for row in readings(file)] == [None, None]


def test_two_columns_that_could_be_the_value_are_asked_about() -> None:
    data = b"Date,Time,Glucose (mg/dL),Glucose (mmol/L)\n2024-03-01,07:30,100,5.6\n"

    assert kinds(read_table(data, None)) == ["columns"]


def test_lines_before_the_header_and_strange_columns_are_named() -> None:
    data = (
        b"Readings of Robin\nfrom spring\n\nSerial;When;Blood glucose [mg/dL];Meal;Comments\n"
        b"A1;2024-03-01 07:30;100;before dinner;fine\nA1;2024-03-01T19:30:00+01:00;110;at sea;\n"
    )

    file = read_table(data, None)

    first, second = readings(file)
    assert (first.line, first.mark, first.note) == (5, Mark.BEFORE_EVENING_MEAL, "fine")
    assert (second.mark, second.note) == (Mark.NONE, 'mark in the file: "at sea"')
    assert first.more is None
    assert second.more is not None
    assert second.more.offset_min == 60
    assert (second.precision, second.raw_wall) == ("second", "2024-03-01T19:30:00+01:00")
    assert first.raw_unit == "mg/dL"
    notes = " ".join(file.notes)
    assert "Readings of Robin / from spring" in notes
    assert "Columns not read: Serial." in notes
    assert '"at sea"' in notes


def test_a_last_line_without_an_end_is_pointed_at() -> None:
    data = b"Date,Time,Result\n2024-03-01,07:30,112\n2024-03-02,07:30,98"

    assert any("last line (3)" in note for note in read_table(data, None).notes)
    assert not any("last line" in note for note in read_table(data + b"\n", None).notes)


@pytest.mark.parametrize(
    ("cell", "precision", "wall"),
    [
        ("2024-03-01", "day", "2024-03-01 00:00:00"),
        ("2024-03-01 07:30", "minute", "2024-03-01 07:30:00"),
        ("1 Mar 2024 7:30 pm", "minute", "2024-03-01 19:30:00"),
        ("Mar 1, 2024 7:30:05 PM", "second", "2024-03-01 19:30:05"),
        ("13.03.2024, 07:30", "minute", "2024-03-13 07:30:00"),
    ],
)
def test_a_date_column_may_hold_the_time_or_no_time(cell: str, precision: str, wall: str) -> None:
    (row,) = read_table(f"Date;Result (mg/dL)\n{cell};100\n".encode(), None).rows

    assert (row.precision, str(row.wall)) == (precision, wall)


def test_bad_rows_among_good_ones_are_refused_one_by_one() -> None:
    data = (
        b"Date,Time,Glucose (mg/dL)\n2024-02-30,07:30,100\n2024-03-01,25:00,100\n"
        b"2024-03-01,07:30,nan\n2024-03-01,07:30,\n,07:30,100\n2024-03-01,,100\n"
        b"2024-03-01,07:30,100\n2024-03-01,07:31,2044.8\n"
    )

    file = read_table(data, None)

    assert [problem.line for problem in file.problems] == [2, 3, 4, 5, 6, 7]
    assert [row.held is None for row in file.rows] == [True, False]
    assert file.seen == 8


def test_site_tags_meter_and_minutes_come_along() -> None:
    data = (
        b"Date,Time,Glucose (mg/dL),Meal,Minutes after,Site,Tags,Meter\n"
        b"2024-03-01,07:30,100,after lunch,120,left ring,sport; travel,Kitchen\n"
        b"2024-03-01,08:30,100,,,,,\n2024-03-01,09:30,100,,soon,,,\n"
    )

    file = read_table(data, None)

    first, second = readings(file)
    assert (first.mark, first.after_min) == (Mark.AFTER_LUNCH, 120)
    assert first.more is not None
    assert (first.more.site, first.more.tags) == ("left ring", ("sport", "travel"))
    assert first.more.meter == "Kitchen"
    assert (second.after_min, second.more) == (None, None)
    assert "minutes after a meal" in file.problems[0].why


def test_a_recipe_that_does_not_fit_says_what_the_file_has() -> None:
    data = b"Day,Clock,Sugar\n2024-03-01,07:30,100\n"
    by_name = Recipe(columns={"date": "Day", "time": "Clock", "value": "Glucose"})
    by_number = Recipe(columns={"date": 1, "time": 2, "value": 4})

    with pytest.raises(Refused, match='"Day", "Clock", "Sugar"'):
        read_table(data, by_name)
    with pytest.raises(Refused, match="column 4, but the file has 3"):
        read_table(data, by_number)


def test_a_header_is_known_by_its_lack_of_digits() -> None:
    recipe = Recipe(unit=Unit.MG_DL, columns={"date": 1, "time": 2, "value": 3})
    rows = b"2024-03-01,07:30,100\n2024-03-02,07:30,110\n"

    for data in (rows, b"Tag,Zeit,Wert\n" + rows):
        assert values(read_table(data, recipe)) == ["100", "110"]


def test_skipped_lines_and_a_left_out_code() -> None:
    recipe = read_recipe(
        'name = "x"\nskip = 1\nunit = "mg/dL"\nheader = false\n'
        "[columns]\ndatetime = 1\nvalue = 2\ncode = 3\n"
        '[codes]\n"G" = {mark = "fasting"}\n"C" = {leave_out = "control test"}\n',
        where="x.toml",
    )
    data = b"first, line, of, five, words\n2024-03-01 07:30,100,G\n2024-03-01 07:31,110,C\n"

    file = read_table(data, recipe)

    (row,) = readings(file)
    assert (row.line, row.mark, row.code) == (2, Mark.FASTING, "G")
    assert [(problem.line, problem.why) for problem in file.problems] == [
        (3, "left out by the recipe: control test")
    ]


def test_the_off_scale_limits_of_a_recipe_are_the_bounds() -> None:
    recipe = read_recipe(
        'name = "x"\nunit = "mmol/L"\n[off_scale]\nlow = ["Tief"]\nlow_limit = 1.1\n',
        where="x.toml",
    )
    data = b"Date,Time,Result\n2024-03-01,07:30,TIEF\n2024-03-01,07:31,HI\n2024-03-02,07:30,6.1\n"

    found = [(row.glucose.bound, row.glucose.value) for row in readings(read_table(data, recipe))]

    assert found == [(Bound.BELOW, "1.1"), (Bound.ABOVE, None), (Bound.EXACT, "6.1")]


def test_an_account_adds_up_or_is_none() -> None:
    assert Account(seen=5, new=1, already=1, refused=2, held=1).seen == 5
    with pytest.raises(ValueError, match="does not add up"):
        Account(seen=5, new=1, already=1, refused=1, held=1)
    with pytest.raises(ValueError, match="below zero"):
        Account(seen=0, new=1, already=-1, refused=0, held=0)


@given(st.integers(0, 9), st.integers(0, 9), st.integers(0, 9), st.integers(0, 9))
def test_every_count_of_an_account_is_in_its_total(new: int, old: int, no: int, held: int) -> None:
    account = Account(seen=new + old + no + held, new=new, already=old, refused=no, held=held)

    assert account.new + account.already + account.refused + account.held == account.seen
