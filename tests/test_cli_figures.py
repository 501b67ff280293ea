from __future__ import annotations

import json
import tempfile
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.glucose import Unit
from app.domain.marks import MARKS, Mark
from app.domain.reading import Standing
from app.store.diary_file import open_diary
from app.work.people import add_person
from tests.commands import Terminal
from tests.households import INSTALLATION, NOW, new_diary, written

SHARES = {"very_low", "low", "in_range", "high", "very_high"}
KEYS = {
    "person", "unit", "period", "n", "days_with_readings", "mean", "median", "q1", "q3", "sd", "cv",
    "min", "max", "mage", "evened", "trust", "shares", "judged", "by_mark", "unmarked", "left_out",
    "without_doubt", "doubt", "without_rechecks",
}  # fmt: skip


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def november(terminal: Terminal) -> None:
    """28 waking readings averaging 6.8 and four at bedtime averaging 11.6, from a file."""
    rows = [f"2025-11-{day:02},07:05,{6.3 + day % 2},waking" for day in range(1, 29)]
    rows += [f"2025-11-{day:02},21:30,11.6,bedtime" for day in (3, 9, 15, 21)]
    file = terminal.folder / "november.csv"
    file.write_text("Date,Time,Glucose (mmol/L),Mark\n" + "\n".join(rows) + "\n", encoding="utf-8")
    terminal.ok("import", str(file))


def test_a_day_of_lows_through_the_commands(terminal: Terminal) -> None:
    for line in ("3.0 2:10", "3.4 2:26", "4.3 2:43", "3.1 16:40", "4.6 16:57", "6.0 17:45",
                 "3.6 19:05", "7.2 21:10"):  # fmt: skip
        terminal.ok("add", line)

    found = terminal.ok("figures", "--days", "1", "--json").json

    assert found["n"] == 8
    assert found["period"] == {"first": "2026-03-12", "last": "2026-03-12", "days": 1}
    assert found["mean"]["value"] == pytest.approx(4.4, abs=1e-12)
    assert found["median"] == pytest.approx(3.95, abs=1e-12)
    assert found["shares"]["low"]["n"] == 4
    rest = found["without_rechecks"]
    assert (rest["n"], rest["shares"]["low"]["n"]) == (5, 3)  # one low stays for each of 3 spells
    said = terminal.ok("figures", "--days", "1").out
    assert "Plain average          4.4\n" in said
    assert "Median                 4.0\n" in said  # 3.95, rounded half up once
    assert "without 3 rechecks: 3 of 5 below" in said


def test_an_average_that_is_not_to_be_trusted_through_the_commands(terminal: Terminal) -> None:
    november(terminal)
    period = ("--from", "2025-11-01", "--to", "2025-11-30")

    found = terminal.ok("figures", *period, "--json").json

    assert found["n"] == 32
    assert found["mean"]["value"] == pytest.approx(7.4)
    assert found["evened"]["value"] == pytest.approx(9.2)
    assert (found["evened"]["slots"], found["evened"]["smallest_n"]) == (2, 4)
    assert found["trust"]["verdict"] == "no"
    assert found["trust"]["reasons"][:2] == ["28 of 32 at waking", "5 of 7 slots never tested"]
    said = terminal.ok("figures", *period).out
    assert (
        "How far to trust the average: no – 28 of 32 at waking; 5 of 7 slots never tested" in said
    )
    assert "Evened average         9.2 (2 of 7 slots, the thinnest n 4" in said
    assert not {"a1c", "gmi", "estimated"} & set(said.lower().split())


def test_every_figure_has_its_name_in_json(terminal: Terminal) -> None:
    november(terminal)
    terminal.ok("person", "targets", "ispad-2022")

    found = terminal.ok("figures", "--all-time", "--json").json

    assert found.keys() >= KEYS
    assert found["person"] == "Tilde"
    assert found["unit"] == "mmol/L"
    assert found["period"].keys() == {"first", "last", "days"}
    assert found["mean"].keys() >= {"value", "low", "high", "bound"}
    assert found["mean"]["bound"] is None
    assert found["mage"].keys() >= {"missing", "days"}
    assert found["evened"].keys() >= {"value", "slots", "smallest_n"}
    assert found["shares"].keys() == SHARES
    for share in found["shares"].values():
        assert share.keys() >= {"n", "share", "low", "high"}
    assert found["judged"]["waking"] == {"n": 28, "below": 0, "within": 28, "above": 0}
    assert found["by_mark"].keys() == {"waking", "bedtime"}
    assert found["by_mark"]["waking"].keys() >= {"n", "mean", "sd", "median"}
    assert found["by_mark"]["waking"]["mean"] == pytest.approx(6.8)
    assert found["without_doubt"].keys() >= {"n", "mean", "evened", "sd", "shares"}
    assert found["without_rechecks"].keys() >= {"n", "mean", "shares"}


def test_fourteen_days_end_today(terminal: Terminal) -> None:
    found = terminal.ok("figures", "--json").json["period"]

    assert found == {"first": "2026-02-27", "last": "2026-03-12", "days": 14}


@pytest.mark.parametrize(
    ("words", "first", "last"),
    [
        (("--days", "7"), "2026-03-06", "2026-03-12"),
        (("--days", "7", "--ending", "2025-11-30"), "2025-11-24", "2025-11-30"),
        (("--ending", "2025-11-30"), "2025-11-17", "2025-11-30"),
        (("--from", "2025-11-03", "--to", "2025-11-09"), "2025-11-03", "2025-11-09"),
        (("--from", "2025-11-03", "--ending", "2025-11-09"), "2025-11-03", "2025-11-09"),
        (("--from", "2025-11-03"), "2025-11-03", "2026-03-12"),
        (("--all-time",), "2025-11-01", "2025-11-28"),
        (("--all-time", "--ending", "2025-11-15"), "2025-11-01", "2025-11-15"),
    ],
)
def test_the_period_is_what_was_asked_for(
    terminal: Terminal, words: tuple[str, ...], first: str, last: str
) -> None:
    november(terminal)

    found = terminal.ok("figures", *words, "--json").json["period"]

    assert (found["first"], found["last"]) == (first, last)
    assert f"Tilde, {first} to {last} (" in terminal.ok("figures", *words).out


@pytest.mark.parametrize(
    "words",
    [
        ("--days", "0"),
        ("--days", "-3"),
        ("--days", "4000000"),
        ("--days", "9" * 30),
        ("--to", "2026-03-01"),
        ("--days", "3", "--to", "2026-03-01"),
        ("--from", "2026-03-01", "--to", "2026-03-02", "--ending", "2026-03-03"),
        ("--from", "2026-03-02", "--to", "2026-03-01"),
        ("--ending", "0001-01-02"),
    ],
)
def test_a_period_that_can_not_be_is_refused_in_one_line(
    terminal: Terminal, words: tuple[str, ...]
) -> None:
    done = terminal.type("figures", *words)

    assert (done.code, done.out) == (1, "")
    assert done.err.count("\n") == 1


@pytest.mark.parametrize("words", [("--days", "x"), ("--days", "3", "--all-time"), ("--from", "x")])
def test_a_period_that_means_nothing_is_wrong_usage(
    terminal: Terminal, words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert terminal.type("figures", *words).code == 2
    assert "usage: thimblebook figures" in capsys.readouterr().err


def test_an_empty_period_says_so(terminal: Terminal) -> None:
    assert "There are no readings to count in this period" in terminal.ok("figures").out


def test_goals_of_today_judge_the_past_on_demand(terminal: Terminal) -> None:
    november(terminal)
    terminal.ok("person", "targets", "nice-under-18", "--from", "2026-03-01")

    own_day = terminal.ok("figures", "--all-time", "--json").json
    todays = terminal.ok("figures", "--all-time", "--by-todays-limits", "--json").json

    assert own_day["judged"] == {}
    assert todays["judged"] == {"waking": {"n": 28, "below": 0, "within": 14, "above": 14}}


def test_too_few_readings_give_words_unless_asked_otherwise(terminal: Terminal) -> None:
    terminal.ok("add", "5.4 7:05")
    terminal.ok("add", "7.8 12:10")

    assert "missing" in terminal.ok("figures", "--json").json["sd"]
    assert terminal.ok("figures", "--no-minimum", "--json").json["sd"] == pytest.approx(1.697056)
    assert "not shown: needs 3 readings; there are 2 readings" in terminal.ok("figures").out


def test_a_share_never_reads_as_nothing_or_all_by_rounding(terminal: Terminal) -> None:
    rows = [
        f"2025-{1 + day // 28:02}-{1 + day % 28:02},{hour:02}:00,{'2.5' if not day + hour else '6'}"
        for day in range(100)
        for hour in range(0, 24, 6)
    ]
    file = terminal.folder / "long.csv"
    file.write_text("Date,Time,Glucose (mmol/L)\n" + "\n".join(rows) + "\n", encoding="utf-8")
    terminal.ok("import", str(file))

    said = terminal.ok("figures", "--all-time").out

    assert "below 3.0              1 of 400 (less than 1 %; 95 %: <1 to 1 %)\n" in said
    assert "3.0 – 3.8              0 of 400 (0 %; 95 %: up to 1 %)\n" in said
    assert "3.9 – 10.0             399 of 400 (more than 99 %; 95 %: 99 to >99 %)\n" in said


values = st.one_of(
    st.decimals("1.0", "33.0", places=1).map(str),
    st.sampled_from(("LO", "HI", "<1.1", ">33.3", "<4.5", ">9.5")),
)
taken = st.tuples(
    st.integers(0, 30 * 1440),
    values,
    st.sampled_from(MARKS),
    st.sampled_from(Standing),
    st.sampled_from(("unknown", "washed", "not")),
    st.sampled_from(Unit),
)


def numbers_in(found: Any) -> list[float]:
    if isinstance(found, dict):
        return [number for each in found.values() for number in numbers_in(each)]
    if isinstance(found, list):
        return [number for each in found for number in numbers_in(each)]
    return [found] if isinstance(found, (int, float)) else []


def refused(constant: str) -> float:
    raise AssertionError(f"{constant} in the JSON")


@settings(max_examples=25, deadline=None)
@given(st.lists(taken, max_size=40), st.booleans(), st.sampled_from(("mmol/L", "mg/dL")))
def test_no_diary_whatever_gives_a_number_that_is_none(
    readings: list[tuple[int, str, Mark, Standing, str, Unit]], minimum: bool, unit: str
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        with new_diary(Path(folder)) as diary:
            person = add_person(diary, "Tilde", unit=unit, zone="Europe/Lisbon", now=NOW,
                                targets="ispad-2022")  # fmt: skip
            for minutes, value, mark, standing, hands, entered in readings:
                at = datetime(2026, 2, 1) + timedelta(minutes=minutes)  # noqa: DTZ001
                written(diary, person, at.isoformat(), value, mark, unit=entered,
                        standing=standing, hands=hands)  # fmt: skip
        more = () if minimum else ("--no-minimum",)

        done = Terminal(Path(folder)).ok("figures", "--from", "2026-02-01", "--json", *more)
        words = Terminal(Path(folder)).ok("figures", "--all", "--from", "2026-02-01", *more).out

    found = json.loads(done.out, parse_constant=refused)  # NaN, Infinity, -Infinity
    assert found.keys() >= KEYS
    assert all(abs(number) < 1e7 for number in numbers_in(found))
    assert sum(share["n"] for share in found["shares"].values()) == found["n"]
    assert found["n"] + sum(found["left_out"].values()) == len(readings)
    assert "nan" not in words.lower().split()
    assert "inf" not in words.lower().split()


def test_figures_of_a_diary_that_lies_open_elsewhere(terminal: Terminal) -> None:
    terminal.ok("add", "7.2 7:05")

    with open_diary(terminal.diary, INSTALLATION) as diary, diary.reading() as connection:
        connection.exec_driver_sql("SELECT count(*) FROM reading").scalar()

        assert terminal.ok("figures", "--json").json["n"] == 1
