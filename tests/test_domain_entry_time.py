from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from app.domain.clock import offsets_of
from app.domain.entry import Entry, read_entry, with_answer
from app.domain.glucose import Unit
from tests.entry_lines import context, kinds, mmol

# Typed on Thursday 12 March 2026 at 21:00.
TIMES = [
    ("6:50", "2026-03-12T06:50"),
    ("06:50", "2026-03-12T06:50"),
    ("at 6:50", "2026-03-12T06:50"),
    ("@6:50", "2026-03-12T06:50"),
    ("6:50:30", "2026-03-12T06:50:30"),
    ("6h50", "2026-03-12T06:50"),
    ("650", "2026-03-12T06:50"),
    ("0650", "2026-03-12T06:50"),
    ("1820", "2026-03-12T18:20"),
    ("18.20", "2026-03-12T18:20"),
    ("06.50", "2026-03-12T06:50"),
    ("6.50", "2026-03-12T06:50"),
    ("٠٦:٥٠", "2026-03-12T06:50"),
    ("７ｐｍ", "2026-03-12T19:00"),
    ("7pm", "2026-03-12T19:00"),
    ("7 pm", "2026-03-12T19:00"),
    ("7 PM", "2026-03-12T19:00"),
    ("7 p.m.", "2026-03-12T19:00"),
    ("7:10 am", "2026-03-12T07:10"),
    ("7:10 a.m.", "2026-03-12T07:10"),
    ("7.10 pm", "2026-03-12T19:10"),
    ("12:30 PM", "2026-03-12T12:30"),
    ("12:30 am", "2026-03-12T00:30"),
    ("12am", "2026-03-12T00:00"),
    ("12 pm", "2026-03-12T12:00"),
    ("noon", "2026-03-12T12:00"),
    ("midday", "2026-03-12T12:00"),
    ("midnight", "2026-03-12T00:00"),
    ("0:00", "2026-03-12T00:00"),
    ("yesterday 24:00", "2026-03-12T00:00"),
    ("2026-03-11 24:00", "2026-03-12T00:00"),
    ("now", "2026-03-12T21:00"),
    ("today", "2026-03-12T21:00"),
    ("10 min ago", "2026-03-12T20:50"),
    ("an hour ago", "2026-03-12T20:00"),
    ("half an hour ago", "2026-03-12T20:30"),
    ("2 h ago", "2026-03-12T19:00"),
    ("2h ago", "2026-03-12T19:00"),
    ("1h30 ago", "2026-03-12T19:30"),
    ("1 h 20 min ago", "2026-03-12T19:40"),
    ("at 7", "2026-03-12T07:00 or 2026-03-12T19:00"),
    ("at 10", "2026-03-12T10:00"),
    ("at 19", "2026-03-12T19:00"),
    ("21:10", "2026-03-12T21:10"),
    ("yesterday 22:10", "2026-03-11T22:10"),
    ("22:10 yesterday", "2026-03-11T22:10"),
    ("yesterday at 10 pm", "2026-03-11T22:00"),
    ("day before yesterday 22:10", "2026-03-10T22:10"),
    ("2 days ago 22:10", "2026-03-10T22:10"),
    ("last night 23:30", "2026-03-11T23:30"),
    ("last night 02:30", "2026-03-12T02:30"),
    ("this morning 6:50", "2026-03-12T06:50"),
    ("on Tuesday 08:00", "2026-03-10T08:00"),
    ("tue 08:00", "2026-03-10T08:00"),
    ("08:00 tues", "2026-03-10T08:00"),
    ("Friday 08:00", "2026-03-06T08:00"),
    ("Thursday 08:00", "2026-03-12T08:00"),
    ("Thursday 22:00", "2026-03-05T22:00"),
    ("last Thursday 08:00", "2026-03-05T08:00"),
    ("12 Mar 06:50", "2026-03-12T06:50"),
    ("11 March 2025 06:50", "2025-03-11T06:50"),
    ("March 11 06:50", "2026-03-11T06:50"),
    ("11th of March 06:50", "2026-03-11T06:50"),
    ("13 Mar 06:50", "2025-03-13T06:50"),
    ("29 Feb 06:50", "2024-02-29T06:50"),
    ("2026-03-11 06:50", "2026-03-11T06:50"),
    ("2026-03-11T06:50", "2026-03-11T06:50"),
    ("2026-03-11T06:50+01:00", "2026-03-11T06:50"),
    ("11/3 06:50", "2026-03-11T06:50"),
    ("11/3/26 06:50", "2026-03-11T06:50"),
    ("11.3.2026 06:50", "2026-03-11T06:50"),
    ("11-3-2026 06:50", "2026-03-11T06:50"),
]
IMPOSSIBLE = [
    "25:10", "24:10", "7:60", "6:5", "13pm", "0 pm", "7:75 am", "31 Feb 06:50", "2026-02-30 06:50",
    "2026-13-01 06:50", "13/13 06:50", "31/2/2026 06:50", "2026-03-11T25:00", "1969-03-11 06:50",
    "9999-03-11 06:50", "yesterday 10 min ago", "06:50+05:00", "99999 days ago 06:50",
    "2200-01-01 06:50", "this morning 18:00", "5 may 12 06:50",
]  # fmt: skip


@pytest.mark.parametrize(("words", "wall"), TIMES)
@pytest.mark.parametrize("line", ["7.2 {}", "{} 7.2 before lunch"])
def test_time_is_read(line: str, words: str, wall: str) -> None:
    entry = mmol(line.format(words))

    assert entry.glucose is not None
    assert entry.glucose.value == "7.2"
    assert entry.note is None
    if " or " in wall:
        assert kinds(entry) == ["half_day"]
        assert entry.questions[0].answers == tuple(one[11:] for one in wall.split(" or "))
    else:
        assert entry.is_ready
        assert entry.moment is not None
        assert entry.moment.wall == wall


@pytest.mark.parametrize("words", IMPOSSIBLE)
def test_impossible_time_is_refused_and_sure_does_not_help(words: str) -> None:
    entry = mmol(f"7.2 {words}", sure=True)

    assert entry.problems
    assert entry.moment is None


@pytest.mark.parametrize(
    ("order", "wall"),
    [("dmy", "2026-03-02"), ("mdy", "2026-02-03"), ("ymd", "2026-02-03")],
)
def test_date_in_figures_follows_the_order_of_the_person(order: str, wall: str) -> None:
    entry = read_entry("7.2 2/3 06:50", context(order=order))

    assert entry.moment is not None
    assert entry.moment.wall == f"{wall}T06:50"


def test_date_with_two_figures_for_the_year_follows_the_order() -> None:
    entry = read_entry("7.2 26/3/11 06:50", context(order="ymd"))

    assert entry.moment is not None
    assert entry.moment.wall == "2026-03-11T06:50"


def test_no_time_is_now() -> None:
    entry = mmol("7.2")

    assert entry.moment is not None
    assert (entry.moment.wall, entry.time_from) == ("2026-03-12T21:00", "now")


@pytest.mark.parametrize("words", ["22:10", "2210", "22.10", "10:10 pm"])
def test_future_time_is_asked_about_never_taken_for_yesterday(words: str) -> None:
    entry = mmol(f"7.2 {words}")

    assert entry.moment is None
    assert kinds(entry) == ["future"]
    assert entry.questions[0].answers == ("yesterday 22:10", "--sure")
    yesterday = mmol(with_answer(f"7.2 {words}", entry, entry.questions[0], "yesterday 22:10"))
    kept = mmol(f"7.2 {words}", sure=True)
    assert yesterday.moment is not None
    assert yesterday.moment.wall == "2026-03-11T22:10"
    assert kept.moment is not None
    assert kept.moment.wall == "2026-03-12T22:10"


def test_ten_minutes_ahead_are_not_the_future() -> None:
    assert mmol("7.2 21:10").is_ready
    assert kinds(mmol("7.2 21:11")) == ["future"]


@pytest.mark.parametrize("words", ["yesterday", "last night", "on Tuesday", "12 Mar", "2 days ago"])
def test_day_without_a_time_is_asked_about(words: str) -> None:
    entry = mmol(f"7.2 {words}")

    assert kinds(entry) == ["time"]
    assert entry.moment is None


def test_midnight_of_another_day_has_two_ends() -> None:
    entry = mmol("7.2 yesterday midnight")

    assert kinds(entry) == ["half_day"]
    assert entry.questions[0].answers == ("2026-03-11 00:00", "2026-03-12 00:00")


def test_time_alone_is_on_the_diary_date_that_has_not_ended() -> None:
    late = context("2026-03-13T01:30", day_start=4)

    before = read_entry("7.2 23:30", late)
    after = read_entry("7.2 01:10", late)
    by_name = read_entry("7.2 yesterday 23:30", late)

    assert before.moment is not None
    assert before.moment.wall == "2026-03-12T23:30"
    assert after.moment is not None
    assert after.moment.wall == "2026-03-13T01:10"
    assert by_name.moment == before.moment


APART = [
    ("02:10", "2026-03-12T02:10"),
    ("650", "2026-03-12T06:50"),
    ("7pm", "2026-03-12T19:00"),
    ("yesterday 22:10", "2026-03-11T22:10"),
    ("2026-03-12 02:10", "2026-03-12T02:10"),
    ("2025-10-26T02:30+01:00", "2025-10-26T02:30"),
    ("10 min ago", "2026-03-12T20:50"),
]


@pytest.mark.parametrize(("at", "wall"), APART)
def test_time_given_apart_is_the_time(at: str, wall: str) -> None:
    entry = mmol("7.2 before lunch", at=at)

    assert entry.is_ready
    assert entry.moment is not None
    assert (entry.moment.wall, entry.time_from) == (wall, "typed")


@pytest.mark.parametrize(
    "at", ["", "xyz", "25:10", "7.2", "02:10 before lunch", "a" * 600, "2:10 "]
)
def test_time_given_apart_must_be_a_time(at: str) -> None:
    entry = mmol("7.2", at=at)

    assert bool(entry.problems) is (at != "2:10 ")


def test_two_times_at_odds_are_refused_and_the_same_twice_is_not() -> None:
    assert mmol("7.2 06:50", at="07:50").problems
    assert mmol("7.2 06:50", at="06:50").is_ready


def test_time_given_apart_leaves_a_second_number_to_be_asked_about() -> None:
    assert kinds(mmol("7.2 650", at="06:50")) == ["reading"]


def test_future_time_given_apart_is_asked_about() -> None:
    assert mmol("7.2", at="22:10").questions[0].answers == ("yesterday 22:10", "--sure")


OVERLAPS = [
    ("Europe/Berlin", "2025-10-26", "02:30", ("02:30+02:00", "02:30+01:00")),
    ("Europe/Lisbon", "2026-10-25", "01:30", ("01:30+01:00", "01:30+00:00")),
    ("America/Chicago", "2025-11-02", "01:30", ("01:30-05:00", "01:30-06:00")),
    ("Australia/Lord_Howe", "2025-04-06", "01:45", ("01:45+11:00", "01:45+10:30")),
]
GAPS = [
    ("Europe/Berlin", "2025-03-30", "02:30", ("03:30+02:00", "01:30+01:00")),
    ("Europe/Lisbon", "2025-03-30", "01:30", ("02:30+01:00", "00:30+00:00")),
    ("America/Chicago", "2025-03-09", "02:30", ("03:30-05:00", "01:30-06:00")),
    ("Australia/Lord_Howe", "2025-10-05", "02:15", ("02:45+11:00", "01:45+10:30")),
]


@pytest.mark.parametrize(("zone", "day", "time", "answers"), OVERLAPS)
def test_repeated_time_is_asked_about(
    zone: str, day: str, time: str, answers: tuple[str, str]
) -> None:
    evening = context(f"{day}T20:00", zone)

    entry = read_entry(f"7.2 {time}", evening, sure=True)

    assert kinds(entry) == ["overlap"]
    assert entry.moment is None
    assert entry.questions[0].answers == answers
    first, second = (_answered(f"7.2 {time}", zone, day, answer) for answer in answers)
    assert first.moment is not None
    assert second.moment is not None
    assert first.moment.wall == second.moment.wall == f"{day}T{time}"
    step = 1800 if zone == "Australia/Lord_Howe" else 3600
    assert second.moment.instant - first.moment.instant == step


@pytest.mark.parametrize(("zone", "day", "time", "answers"), GAPS)
def test_skipped_time_is_told_and_never_shifted(
    zone: str, day: str, time: str, answers: tuple[str, str]
) -> None:
    evening = context(f"{day}T20:00", zone)

    entry = read_entry(f"7.2 {time}", evening, sure=True)

    assert kinds(entry) == ["gap"]
    assert entry.moment is None
    assert "did not exist" in entry.questions[0].asks
    assert entry.questions[0].answers == answers
    for answer in answers:
        again = _answered(f"7.2 {time}", zone, day, answer)
        assert again.moment is not None
        assert offsets_of(again.moment.local, zone) == (again.moment.offset_min,)


def _answered(typed: str, zone: str, day: str, answer: str) -> Entry:
    evening = context(f"{day}T20:00", zone)
    entry = read_entry(typed, evening)
    return read_entry(with_answer(typed, entry, entry.questions[0], answer), evening)


@pytest.mark.parametrize("at", ["2025-10-26 02:30", "2025-03-30 02:30"])
def test_answer_for_a_time_given_apart_is_whole(at: str) -> None:
    entry = mmol("7.2", at=at)

    for answer in entry.questions[0].answers:
        assert answer.startswith(at[:10])
        assert mmol("7.2", at=answer).is_ready
        assert mmol("7.2", at=answer.replace(" ", "T")).is_ready


def test_offset_not_in_force_is_refused() -> None:
    entry = mmol("7.2 2025-10-26 02:30+05:00")

    (problem,) = entry.problems
    assert problem.endswith("at 2025-10-26 02:30; there it is +02:00 or +01:00.")


def test_every_minute_of_the_day_is_read_in_24_and_12_hours() -> None:
    midnight = datetime(2026, 3, 11)  # noqa: DTZ001  # a wall time
    late = context("2026-03-11T23:59")
    for minute in range(1440):
        wall = midnight + timedelta(minutes=minute)
        for form in ("%H:%M", "%I:%M %p", "%H%M", "%H.%M", "%I.%M%p"):
            entry = read_entry(f"112 mg/dL {wall.strftime(form)}", late)
            assert entry.moment is not None, (form, wall)
            assert entry.moment.local == wall, (form, wall)


def test_seconds_ago_count_in_instants_over_a_change_of_clocks() -> None:
    night = context("2025-10-26T03:30")

    entry = read_entry("112 mg/dL 90 min ago", night)

    assert entry.moment is not None
    assert (entry.moment.wall, entry.moment.offset_min) == ("2025-10-26T02:00", 60)
    assert entry.moment.instant == int(night.now.timestamp()) - 5400


def test_time_piece_says_the_day_and_the_time() -> None:
    entry = read_entry("7.2 yesterday 22:10", context(unit=Unit.MMOL_L))

    means = {piece.kind: piece.means for piece in entry.pieces}
    assert means["time"] == "yesterday, Wed 11 Mar, 22:10"
    assert means["date"] == "yesterday, Wed 11 Mar"
