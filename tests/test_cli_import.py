from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.commands import Terminal

TITLES = "Date,Time,Glucose (mg/dL),Note\n"
ROWS = "2026-03-01,07:00,112,café\n2026-03-01,12:00,140,ok\n2026-03-02,07:00,95,\n"
ACCOUNT = ("seen", "new", "already", "refused", "held")


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Corwin", "--unit", "mg/dL", "--zone", "Europe/Lisbon")
    return made


def a_file(terminal: Terminal, content: str | bytes, name: str = "meter.csv") -> str:
    path = terminal.folder / name
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return str(path)


def account(terminal: Terminal, *words: str) -> tuple[int, ...]:
    found = terminal.ok("import", *words, "--json").json
    return tuple(found[name] for name in ACCOUNT)


def values(terminal: Terminal) -> list[str]:
    return [each["value"] for each in terminal.ok("list", "--json").json]


def test_a_file_comes_in_with_an_account_that_adds_up(terminal: Terminal) -> None:
    done = terminal.ok("import", a_file(terminal, TITLES + ROWS))

    assert done.out == (
        "Brought in for Corwin: 3 readings.\n"
        "3 rows = 3 new + 0 already there + 0 refused + 0 held\n"
    )
    assert values(terminal) == ["112", "140", "95"]
    assert terminal.ok("list", "--json").json[0]["note"] == "café"


def test_the_account_can_be_read_as_json(terminal: Terminal) -> None:
    file = a_file(terminal, TITLES + "2026-02-30,07:00,112,x\n2099-01-01,07:00,100,y\n" + ROWS)

    found = terminal.ok("import", file, "--json").json

    assert {name: found[name] for name in ACCOUNT} == {
        "seen": 5, "new": 3, "already": 0, "refused": 1, "held": 1,
    }  # fmt: skip
    assert found["kinds"] == {"reading": 3, "dose": 0, "event": 0}
    assert [(each["line"], each["verdict"]) for each in found["problems"]] == [
        (2, "refused"),
        (3, "held"),
    ]
    assert found["problems"][0]["text"] == "2026-02-30,07:00,112,x"
    assert found["problems"][0]["why"] == 'the date "2026-02-30" is not in the calendar'


def test_a_dry_run_says_it_and_writes_nothing(terminal: Terminal) -> None:
    file = a_file(terminal, TITLES + ROWS)
    before = terminal.diary.read_bytes()

    done = terminal.ok("import", file, "--dry-run")

    assert done.out.startswith("Would be brought in for Corwin: 3 readings.\n3 rows = 3 new")
    assert terminal.diary.read_bytes() == before
    assert account(terminal, file, "--dry-run") == (3, 3, 0, 0, 0)


def test_the_same_file_twice_adds_nothing_and_leaves_no_change(terminal: Terminal) -> None:
    file = a_file(terminal, TITLES + ROWS)
    terminal.ok("import", file)
    before = terminal.diary.read_bytes()

    assert account(terminal, file) == (3, 0, 3, 0, 0)
    assert terminal.diary.read_bytes() == before


@pytest.mark.parametrize(
    "content",
    [
        (TITLES + ROWS).encode("utf-8-sig"),
        (TITLES + ROWS).encode("utf-16"),
        (TITLES + ROWS).encode("utf-16-le"),
        (TITLES + ROWS).encode("utf-16-be"),
        (TITLES + ROWS).replace("\n", "\r\n").encode(),
        (TITLES + ROWS).replace(",", ";").encode(),
        (TITLES + ROWS).replace(",", "\t").encode(),
    ],
    ids=["bom", "utf-16", "utf-16-le", "utf-16-be", "crlf", "semicolons", "tabs"],
)
def test_a_file_of_another_make_holds_the_same(terminal: Terminal, content: bytes) -> None:
    assert account(terminal, a_file(terminal, content)) == (3, 3, 0, 0, 0)
    assert terminal.ok("list", "--json").json[0]["note"] == "café"


def test_an_old_encoding_is_asked_about_with_the_words_that_answer(terminal: Terminal) -> None:
    file = a_file(terminal, (TITLES + ROWS).encode("cp1252"))

    asked = terminal.type("import", file)

    assert asked.code == 1
    assert "Answer with: --encoding cp1252   or   " in asked.err
    assert values(terminal) == []
    assert account(terminal, file, "--encoding", "cp1252") == (3, 3, 0, 0, 0)
    assert terminal.ok("list", "--json").json[0]["note"] == "café"


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty; nothing was changed."),
        (b"\n  \r\n", "The file is empty; nothing was changed."),
        (TITLES.encode(), "The file holds a header and no row; nothing was changed."),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20, "The file is not text"),
        (b"\0" * 5000, "The file is not text"),
        (b"Glucose\n100\n110\n", "The file has one column"),
    ],
    ids=["empty", "blank", "header", "binary", "zeros", "one column"],
)
def test_what_is_no_table_is_refused_in_one_line(
    terminal: Terminal, content: bytes, sentence: str
) -> None:
    before = terminal.diary.read_bytes()

    done = terminal.type("import", a_file(terminal, content))

    assert (done.code, done.out, done.err.count("\n")) == (1, "", 1)
    assert done.err.startswith(sentence)
    assert terminal.diary.read_bytes() == before


def test_a_huge_file_is_refused_before_it_is_read(terminal: Terminal) -> None:
    huge = terminal.folder / "huge.csv"
    huge.touch()
    os.truncate(huge, 5 * 10**9)  # sparse: it takes no room

    done = terminal.type("import", str(huge))

    assert done.code == 1
    assert done.err.startswith("The file has 4768 MB; up to 200 MB are read at a time.")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="this system has no endless device")
def test_a_device_that_never_ends_is_refused(terminal: Terminal) -> None:
    done = terminal.type("import", "/dev/zero")

    assert done.code == 1
    assert done.err.startswith("The file has 200 MB; up to 200 MB are read at a time.")


@pytest.mark.parametrize("name", ["missing.csv", "", "."])
def test_a_file_that_is_not_there_is_named(terminal: Terminal, name: str) -> None:
    done = terminal.type("import", name)

    assert (done.code, done.out) == (1, "")
    assert done.err.endswith("). Nothing was changed.\n")


def test_an_open_quotation_mark_costs_its_own_row_alone(terminal: Terminal) -> None:
    file = a_file(terminal, TITLES + '2026-03-01,07:00,112,"open\n' + ROWS.split("\n", 1)[1])

    found = terminal.ok("import", file, "--json").json

    assert tuple(found[name] for name in ACCOUNT) == (3, 2, 0, 1, 0)
    assert found["problems"][0]["why"] == "a quotation mark that opens here is never closed"


def test_a_file_in_the_wrong_unit_is_asked_about_as_a_whole(terminal: Terminal) -> None:
    file = a_file(terminal, (TITLES + ROWS).replace("mg/dL", "mmol/L"))

    asked = terminal.type("import", file)

    assert asked.code == 1
    assert "looks like mg/dL" in asked.err
    assert "Answer with: --unit mg/dL" in asked.err
    assert values(terminal) == []
    assert account(terminal, file, "--unit", "mg/dL") == (3, 3, 0, 0, 0)
    assert {each["unit"] for each in terminal.ok("list", "--json").json} == {"mg/dL"}


def test_values_possible_in_both_units_are_asked_about(terminal: Terminal) -> None:
    file = a_file(terminal, "Date,Time,Glucose\n2026-03-01,07:00,22\n2026-03-02,07:00,30\n")

    asked = terminal.type("import", file)

    assert asked.code == 1
    assert "(22 to 30) could be mg/dL or mmol/L" in asked.err
    assert "Answer with: --unit mg/dL   or   --unit mmol/L" in asked.err
    assert values(terminal) == []
    terminal.ok("import", file, "--unit", "mmol/L")
    assert {each["unit"] for each in terminal.ok("list", "--json").json} == {"mmol/L"}


def test_a_unit_that_only_one_reading_of_the_values_allows_is_taken(terminal: Terminal) -> None:
    file = a_file(terminal, "Date,Time,Glucose\n2026-03-01,07:00,5.6\n2026-03-02,07:00,11.2\n")

    terminal.ok("import", file)

    assert {each["unit"] for each in terminal.ok("list", "--json").json} == {"mmol/L"}


def test_dates_of_either_order_are_asked_about_with_the_words_that_answer(
    terminal: Terminal,
) -> None:
    file = a_file(terminal, TITLES + "03/04/2025,07:00,112,\n04/05/2025,12:00,140,\n")

    asked = terminal.type("import", file)

    assert asked.code == 1
    assert "could be day first or month first" in asked.err
    answers = [
        answer.split() for answer in asked.err.split("Answer with: ")[1].strip().split("   or   ")
    ]
    days = {}
    for answer in answers:
        terminal.ok("import", file, *answer)
        days[answer[-1]] = [each["at"][:10] for each in terminal.ok("list", "--json").json]
        terminal.ok("undo")
    assert days == {"dmy": ["2025-04-03", "2025-05-04"], "mdy": ["2025-03-04", "2025-04-05"]}


def test_one_date_settles_the_order_of_the_whole_file(terminal: Terminal) -> None:
    terminal.ok("import", a_file(terminal, TITLES + "03/04/2025,07:00,112,\n23/05/2025,12:00,140,"))

    assert [each["at"][:10] for each in terminal.ok("list", "--json").json] == [
        "2025-04-03",
        "2025-05-23",
    ]


BAD = [
    ("2026-02-30,07:00,112,", "is not in the calendar"),
    ("2026-03-01,25:00,112,", "is not a time of day"),
    ("2026-03-01,08:00,NaN,", '"NaN" is not a plain number'),
    ("2026-03-01,08:00,inf,", '"inf" is not a plain number'),
    ("2026-03-01,08:00,1e400,", '"1e400" is not a plain number'),
    ("2026-03-01,08:00,1_0,", '"1_0" is not a plain number'),
    ("2026-03-01,08:00,-5,", '"-5" is not a plain number'),
    ("2026-03-01,08:00,0,", "a glucose value is not 0"),
    ("2026-03-01,08:00,3000,", "is no glucose result"),
    ("2026-03-01,08:00,,", "the value is missing"),
    ("1960-03-01,08:00,100,", "the year 1960 lies outside 1970 to 2199"),
    ("2026-03-01,08:00,100,a,b,c", "fields where 4 belong"),
]


def test_bad_rows_among_good_ones_are_refused_one_by_one(terminal: Terminal) -> None:
    file = a_file(terminal, TITLES + "".join(f"{row}\n" for row, _ in BAD) + ROWS)

    found = terminal.ok("import", file, "--json").json

    assert tuple(found[name] for name in ACCOUNT) == (len(BAD) + 3, 3, 0, len(BAD), 0)
    for line, (each, (row, why)) in enumerate(zip(found["problems"], BAD, strict=True), 2):
        assert (each["line"], each["text"].rstrip(",")) == (line, row.rstrip(","))
        assert why in each["why"]
    assert values(terminal) == ["112", "140", "95"]


@pytest.mark.parametrize("row", [row for row, _ in BAD if row.count(",") == 3])
def test_a_bad_row_that_is_all_there_is_changes_nothing(terminal: Terminal, row: str) -> None:
    file = a_file(terminal, f"{TITLES}{row}\n")
    before = terminal.diary.read_bytes()

    for words in (("--dry-run",), (), ("--json",)):
        done = terminal.type("import", file, *words)

        assert done.code == 1
        assert done.err.startswith(f"No row of {file} could be read, and nothing was changed.")
        assert row[:10] in done.out  # the account is printed all the same
    assert terminal.diary.read_bytes() == before


def test_long_lists_of_refused_rows_are_cut_on_the_screen_and_whole_in_json(
    terminal: Terminal,
) -> None:
    file = a_file(terminal, TITLES + "2026-02-30,07:00,112,\n" * 25 + ROWS)

    said = terminal.ok("import", file, "--dry-run").out

    assert said.count("  refused, line ") == 20
    assert "  and 5 more refused; see them with --json\n" in said
    assert len(terminal.ok("import", file, "--json").json["problems"]) == 25


def test_hours_that_the_clocks_changed_are_told(terminal: Terminal) -> None:
    file = a_file(
        terminal,
        TITLES + "2025-03-30,01:30,112,skipped\n2025-10-26,01:10,100,\n2025-10-26,01:50,101,\n",
    )

    said = terminal.ok("import", file).out

    assert "1 in an hour that the clocks skipped: kept as written, flagged\n" in said
    assert "2 in an hour that came twice: the first taken, flagged\n" in said


RECIPE = """
name = "kitchen"
unit = "mg/dL"
date_order = "dmy"
[columns]
date = 1
time = 2
value = 3
code = 4
[codes]
B = { mark = "waking" }
I = { dose = "regular insulin", unit = "U" }
M = { event = "meal" }
"""


def test_a_recipe_is_given_once_and_then_kept_by_name(terminal: Terminal) -> None:
    recipe = a_file(terminal, RECIPE, "kitchen.toml")
    first = a_file(terminal, "01.03.2026,07:00,112,B\n01.03.2026,07:05,6,I\n01.03.2026,07:10,,M\n")
    unknown = terminal.type("import", first, "--recipe", "kitchen")
    assert unknown.code == 1
    assert unknown.err.startswith('This diary keeps no recipe named "kitchen".')

    found = terminal.ok("import", first, "--recipe", recipe, "--json").json

    assert found["kinds"] == {"reading": 1, "dose": 1, "event": 1}
    longer = a_file(terminal, Path(first).read_text() + "02.03.2026,07:00,95,B\n", "longer.csv")
    assert account(terminal, longer, "--recipe", "kitchen") == (4, 1, 3, 0, 0)
    assert [each["mark"] for each in terminal.ok("list", "--json").json] == ["waking"] * 2


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("name = ", "is not a recipe in TOML"),
        ('name = "x"\ncolour = "red"\n', '"colour" is not a key here'),
        ('unit = "mg/dL"\n', '"name" is missing'),
        (RECIPE.replace("mg/dL", "g/L"), '"g/L" is no unit of glucose'),
    ],
)
def test_a_recipe_that_means_nothing_is_refused(
    terminal: Terminal, text: str, sentence: str
) -> None:
    recipe = a_file(terminal, text, "bad.toml")

    done = terminal.type("import", a_file(terminal, TITLES + ROWS), "--recipe", recipe)

    assert (done.code, done.out) == (1, "")
    assert sentence in done.err
    assert values(terminal) == []


@pytest.mark.parametrize(
    "words",
    [
        ("--encoding", "bogus"),
        ("--delimiter", "x"),
        ("--date-order", "ydm"),
        ("--unit", "g/L"),
        ("--recipe", "missing.toml"),
        ("--recipe", "unknown"),
    ],
)
def test_an_answer_that_means_nothing_is_refused(
    terminal: Terminal, words: tuple[str, ...]
) -> None:
    done = terminal.type("import", a_file(terminal, TITLES + ROWS), *words)

    assert (done.code, done.out, done.err.count("\n")) == (1, "", 1)
    assert values(terminal) == []


def test_a_file_whose_name_is_no_text_is_read_all_the_same(terminal: Terminal) -> None:
    name = os.fsdecode(os.fsencode(terminal.folder) + b"/\xff.csv")
    try:
        Path(name).write_text(TITLES + ROWS, encoding="utf-8")
    except OSError:
        pytest.skip("this file system takes no such name")

    assert account(terminal, name) == (3, 3, 0, 0, 0)
    assert terminal.ok("undo").out.startswith("Taken back: the import of \N{REPLACEMENT CHARACTER}")


def test_what_was_brought_in_for_one_person_is_new_for_another(terminal: Terminal) -> None:
    file = a_file(terminal, TITLES + ROWS)
    terminal.ok("import", file)
    terminal.ok("person", "add", "Bram", "--unit", "mg/dL", "--zone", "Europe/Lisbon")

    assert terminal.type("import", file).code == 1
    done = terminal.ok("--person", "Bram", "import", file)
    assert "3 rows = 3 new" in done.out
