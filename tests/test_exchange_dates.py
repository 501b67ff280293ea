"""Dates and times of files."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from app.exchange.dates import Dates, date_pattern, date_reader, decide_order
from app.exchange.file_read import RowRefused
from app.exchange.times import Clocks, time_pattern


def on(text: str, form: str | None = None, order: str | None = None) -> str:
    return f"{Dates(date_reader(form, order))[text]:%Y-%m-%d}"


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("2024-03-01", "ymd", "2024-03-01"),
        ("2024/3/1", "ymd", "2024-03-01"),
        ("20240301", "ymd", "2024-03-01"),
        ("01.03.2024", "dmy", "2024-03-01"),
        ("1.3.2024", "dmy", "2024-03-01"),
        ("01. 03. 2024", "dmy", "2024-03-01"),
        ("03/01/2024", "mdy", "2024-03-01"),
        ("03/01/2024,", "mdy", "2024-03-01"),
        ("03-01-24", "mdy", "2024-03-01"),
        ("01/03/91", "dmy", "1991-03-01"),
        ("01/03/69", "dmy", "2069-03-01"),
        ("1 Mar 2024", "dmy", "2024-03-01"),
        ("1-MAR-2024", "mdy", "2024-03-01"),
        ("March 1, 2024", "ymd", "2024-03-01"),
        ("٠١/٠٣/٢٠٢٤", "dmy", "2024-03-01"),
        ("29.02.2024", "dmy", "2024-02-29"),
    ],
)
def test_a_date_is_read_in_the_order_of_the_file(text: str, order: str, day: str) -> None:
    assert on(text, order=order) == day


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "the date is missing"),
        ("   ", "the date is missing"),
        ("31.06.2024", "not in the calendar"),
        ("29.02.2023", "not in the calendar"),
        ("00.01.2024", "not in the calendar"),
        ("13/14/2024", "not in the calendar"),
        ("2024-03-01", "not in this file's order"),
        ("5.5", "not a date"),
        ("100", "not a date"),
        ("sat", "not a date"),
        ("1 Foo 2024", "no month"),
        ("01.03.1969", "lies outside"),
        ("01.03.2200", "lies outside"),
        ("01.03.024", "not a date"),
        ("01-03/2024", "not a date"),
    ],
)
def test_what_is_no_date_is_refused_with_the_reason(text: str, why: str) -> None:
    with pytest.raises(RowRefused, match=why):
        on(text, order="dmy")


@pytest.mark.parametrize(
    ("form", "text"),
    [
        ("MM-DD-YYYY", "03-01-2024"),
        ("DD.MM.YYYY", "01.03.2024"),
        ("D.M.YY", "1.3.24"),
        ("YYYY MM DD", "2024 03 01"),
        ("D MMM YYYY", "1 Mar 2024"),
        ("YYYYMMDD", "20240301"),
    ],
)
def test_a_format_reads_its_own_form_alone(form: str, text: str) -> None:
    assert on(text, form=form) == "2024-03-01"
    with pytest.raises(RowRefused, match="not a date as"):
        on(f"{text}x", form=form)


@pytest.mark.parametrize("form", ["DD.MM", "DD.DD.YYYY", "YYYY-MM", "DD xx YYYY MM", "", "YYYY"])
def test_a_format_without_its_parts_is_an_error(form: str) -> None:
    with pytest.raises(ValueError, match=r"lacks|twice|means nothing"):
        date_pattern(form)


@pytest.mark.parametrize("form", ["HH", "MM:SS", "H:MM:MM", "H?Q"])
def test_a_time_format_without_its_parts_is_an_error(form: str) -> None:
    with pytest.raises(ValueError, match=r"lacks|twice|means nothing"):
        time_pattern(form)


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        (["2024-03-01", "2024-03-02"], "ymd"),
        (["03/04/2024", "13/04/2024"], "dmy"),
        (["03/04/2024", "04/13/2024"], "mdy"),
        (["03/04/2024", "nonsense", "04/13/2024", ""], "mdy"),
        (["1 Mar 2024"], "ymd"),
    ],
)
def test_one_clear_date_settles_the_order_of_the_file(texts: list[str], order: str) -> None:
    assert decide_order({text: line for line, text in enumerate(texts, 1)}) == (order, None)


@pytest.mark.parametrize(
    ("texts", "says"),
    [
        (["03/04/2024", "05/06/2024"], "could be day first or month first"),
        (["13/04/2024", "04/13/2024"], "contradict each other"),
        (["2024-03-01", "13/04/2024"], "contradict each other"),
        (["2024-03-01", "03/04/2024"], "contradict each other"),
        (["03/04/24"], "two digits"),
        (["25/12/24"], "two digits"),
    ],
)
def test_an_open_order_is_asked_with_an_example(texts: list[str], says: str) -> None:
    order, question = decide_order({text: line for line, text in enumerate(texts, 7)})

    assert order is None
    assert question is not None
    assert says in question.asks
    assert "line 7" in question.asks
    assert "--date-order dmy" in question.answers


@pytest.mark.parametrize(
    ("text", "seconds", "precision"),
    [
        ("6:50", 24600, "minute"),
        ("06:50", 24600, "minute"),
        (" 6:50 ", 24600, "minute"),
        ("6.50", 24600, "minute"),
        ("6h50", 24600, "minute"),
        ("0650", 24600, "minute"),
        ("650", 24600, "minute"),
        ("06:50:30", 24630, "second"),
        ("06:50:59.955", 24659, "second"),
        ("065030", 24630, "second"),
        ("6:50 AM", 24600, "minute"),
        ("6:50am", 24600, "minute"),
        ("6:50 a.m.", 24600, "minute"),
        ("6:50 pm", 67800, "minute"),
        ("06:50:30 P.M.", 67830, "second"),
        ("7 pm", 68400, "minute"),
        ("12:30 AM", 1800, "minute"),
        ("12:30 PM", 45000, "minute"),
        ("0:00", 0, "minute"),
        ("24:00", 86400, "minute"),
        ("٠٦:٥٠", 24600, "minute"),
    ],
)
def test_times_of_many_forms_are_read(text: str, seconds: int, precision: str) -> None:
    assert Clocks(None)[text] == (timedelta(seconds=seconds), precision, None)


@pytest.mark.parametrize(
    "text",
    ["", " ", "56:35", "188:00", "11:0", "24:01", "25:00", "12:60", "13:10 PM", "0:10 AM", "7",
     "-6:50", "6:50x", "noon", "06:50:61", "6:²0", "1e3", "nan"],
)  # fmt: skip
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(RowRefused):
        Clocks(None)[text]


def test_a_time_format_is_kept_to() -> None:
    clocks = Clocks("H:MM")

    assert clocks["9:09"][0] == timedelta(hours=9, minutes=9)
    assert Clocks("h:MM A")["9:09 pm"][0] == timedelta(hours=21, minutes=9)
    for text in ("11:0", "9.09", "9:09 pm", "9:09:00"):
        with pytest.raises(RowRefused):
            clocks[text]


@pytest.mark.parametrize(
    ("text", "offset"),
    [("07:30:00+01:00", 60), ("07:30-0530", -330), ("07:30Z", 0), ("07:30:00.000Z", 0)],
)
def test_an_offset_that_the_file_gives_is_kept(text: str, offset: int) -> None:
    since, _, found = Clocks(None)[text]

    assert since == timedelta(hours=7, minutes=30)
    assert found == offset


def test_midnight_can_be_a_made_up_time() -> None:
    clocks = Clocks(None, slots=frozenset({timedelta(0)}))

    assert [clocks[text][1] for text in ("00:00", "00:01")] == ["slot", "minute"]


def test_24_00_is_midnight_of_the_next_day() -> None:
    midnight = Dates(date_reader(None, "ymd"))["2024-02-29"]

    assert midnight + Clocks(None)["24:00"][0] == datetime.fromisoformat("2024-03-01")
