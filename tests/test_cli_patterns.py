from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def test_the_test_map_counts_ninety_days_and_names_what_is_never_tested(terminal: Terminal) -> None:
    terminal.ok("add", "7.2 waking 07:00")

    found = terminal.ok("test-map", "--json").json
    said = terminal.ok("test-map").out

    assert found["period"] == {"first": "2025-12-13", "last": "2026-03-12", "days": 90}
    assert found["slots"]["waking"]["by_weekday"] == [0, 0, 0, 1, 0, 0, 0]
    assert found["slots"]["night"]["blind_spot"] is True
    assert "never tested: after breakfast, before lunch, " in said
    assert "waking: 1 in 90 days; lows and highs there would not be seen" in said


EVENINGS = [("6.2", "10.9"), ("7.0", "9.1"), ("5.5", "12.0"), ("8.8", "10.2"), ("6.1", "11.3"),
            ("7.4", "9.9"), ("9.0", "13.0")]  # fmt: skip
RECIPE = """
name = "kitchen paper"
header = false
unit = "mmol/L"
date_format = "YYYY-MM-DD"
time_format = "HH:MM"
zone = "Europe/Lisbon"

[columns]
date = 1
time = 2
code = 3
value = 4

[codes]
before = { mark = "before_evening_meal" }
after = { mark = "after_evening_meal" }
apple = { event = "snack", text = "an apple" }
"""


def test_seven_evenings_through_the_commands_are_five_pairs_and_two_reasons(
    terminal: Terminal,
) -> None:
    # Seven invented evenings; the sixth was tested again only after 220 min, in the last one an
    # apple was eaten an hour after the meal. Figures worked by hand.
    rows = []
    for day, (before, after) in enumerate(EVENINGS, 1):
        late = "21:40" if day == 6 else "20:00"
        rows += [f"2026-03-0{day},18:00,before,{before}", f"2026-03-0{day},{late},after,{after}"]
    rows.append("2026-03-07,19:00,apple,")
    (terminal.folder / "kitchen.toml").write_text(RECIPE, encoding="utf-8")
    file = terminal.folder / "evenings.csv"
    file.write_text("\n".join(rows) + "\n", encoding="utf-8")
    taken = terminal.ok(
        "import", str(file), "--recipe", str(terminal.folder / "kitchen.toml"), "--json"
    ).json
    assert (taken["new"], taken["kinds"]["event"]) == (15, 1)

    found = terminal.ok("pairs", "--meal", "evening-meal", "--json").json
    said = terminal.ok("pairs").out

    evening = found["meals"]["evening meal"]
    assert evening["n"] == 5
    assert evening["median"] == pytest.approx(4.7)
    assert (evening["lowest"], evening["highest"]) == pytest.approx((1.4, 6.5))
    assert evening["mean"] == pytest.approx(3.98)
    assert [round(pair["rise"], 1) for pair in found["pairs"] if pair["within_error"]] == [1.4]
    assert [each["words"] for each in found["not_paired"]] == [
        "220 min after the meal began: outside 45 to 75 and 90 to 150 min",
        "food noted between, 60 min after its start",
    ]
    assert "rise median +4.7, mean +4.0, from +1.4 to +6.5 mmol/L" in said
    assert "1 within the permitted error of meters" in said
    assert "9.0 → 13.0, food noted between, 60 min after its start" in said


def test_without_readings_around_meals_there_are_no_pairs_and_no_numbers(
    terminal: Terminal,
) -> None:
    found = terminal.ok("pairs", "--json").json

    assert found["meals"]["all meals"]["n"] == 0
    assert found["meals"]["all meals"]["median"] is None
    assert "all meals: 0 pairs, 0 not paired" in terminal.ok("pairs").out


def test_a_night_is_told_through_the_commands(terminal: Terminal) -> None:
    for line in ("8.0 bedtime 2026-03-10 21:30", "6.0 night 2026-03-11 02:30",
                 "9.1 waking 2026-03-11 07:00"):  # fmt: skip
        terminal.ok("add", line)

    found = terminal.ok("nights", "--json").json
    said = terminal.ok("nights").out

    assert (found["n"], found["with_all_three"], found["told"]) == (1, 1, {"rise": 1})
    assert found["nights"][0]["evening"] == "2026-03-10"
    assert found["nights"][0]["night_to_waking"] == pytest.approx(3.1)
    assert "needs 3 pairs" in found["night_to_waking"]["missing"]
    assert "1 of 1 nights have all three" in said
    assert "8.0 → 6.0 → 9.1 mmol/L; +1.1 from bedtime to waking, within the permitted error" in said


def test_patterns_are_told_through_the_commands(terminal: Terminal) -> None:
    for day in range(1, 6):
        terminal.ok("add", f"{'3.4' if day % 2 else '7.0'} bedtime 2026-03-0{day} 21:30")
    terminal.ok("add", "2.8 2026-03-06 16:00")

    found = terminal.ok("patterns", "--json").json
    said = terminal.ok("patterns").out

    first = found["patterns"][0]
    assert (first["slot"], first["direction"], first["step"]) == ("bedtime", "low", "repeating")
    assert (first["count"], first["n"], first["line"]) == (3, 5, 3.9)
    assert [hit["value"] for hit in first["hits"]] == [3.4] * 3
    assert found["questions"]["put"] == 16
    assert found["at_once"][0]["reading"]["value"] == 2.8
    assert found["period"]["days"] == 30
    assert "repeating: bedtime, lows, below 3.9 mmol/L: 3 of 5 days" in said
    assert "Listed first, without counting: 1" in said
    assert "16 questions put" in said


def test_a_question_of_ones_own_raises_their_number(terminal: Terminal) -> None:
    terminal.ok("add", "7.0 bedtime 2026-03-05 21:30")
    terminal.ok("add", "3.0 night #swim 2026-03-06 02:30")
    terminal.ok("ask", "swim", "--slot", "night", "--days", "30")

    found = terminal.ok("patterns", "--json").json

    assert (found["questions"]["put"], found["questions"]["asked"]) == (17, 1)
    assert (
        "17 questions put (8 slots, lows and highs; 1 of your own)" in (found["questions"]["words"])
    )


VERBS = ("test-map", "pairs", "nights", "patterns")
BAD = {
    "no reading": (),
    "one reading": ("7.2 2026-03-10 07:00",),
    "all off the scale": ("LO bedtime 2026-03-10 21:00", "HI night 2026-03-11 02:00",
                          "HI waking 2026-03-11 07:00", "LO before lunch 2026-03-11 12:00",
                          "HI after lunch 2026-03-11 14:00"),
    "all equal": tuple(f"7.0 waking 2026-03-0{day} 07:00" for day in range(1, 9)),
    "only doubtful": tuple(
        f"{value} unwashed 2026-03-1{day} {at}"
        for day, value, at in ((0, "3.1 bedtime", "21:00"), (1, "9.1 waking", "07:00"))
    ),
}  # fmt: skip


@pytest.mark.parametrize("verb", VERBS)
@pytest.mark.parametrize("lines", BAD.values(), ids=BAD.keys())
def test_bad_data_has_words_instead_of_numbers(
    terminal: Terminal, verb: str, lines: tuple[str, ...]
) -> None:
    for line in lines:
        terminal.ok("add", line, "--sure")

    found = terminal.ok(verb, "--json")
    said = terminal.ok(verb).out

    assert found.json["person"] == "Tilde"
    assert "NaN" not in found.out
    assert "nan" not in said.casefold().replace("night", "")
    assert "inf" not in said.casefold()
    assert said.startswith("Tilde, ")


@pytest.mark.parametrize("verb", VERBS)
def test_a_period_before_the_first_reading_is_empty_and_says_so(
    terminal: Terminal, verb: str
) -> None:
    terminal.ok("add", "2.1 bedtime 2026-03-10 21:00", "--sure")

    found = terminal.ok(verb, "--from", "2020-01-01", "--to", "2020-01-31", "--json").json

    assert found["period"]["days"] == 31
    assert not any(found.get(key) for key in ("pairs", "nights", "at_once", "not_paired", "n"))
