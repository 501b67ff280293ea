"""Parts of the sheet that other things than readings make: plan, kit, ketones, gaps, laboratory."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from html import unescape
from pathlib import Path

import pytest
from pypdf import PdfReader

from app.domain.clock import Period, last_days, moment_at
from app.domain.glucose import Unit
from app.domain.ketones import Ketones
from app.domain.labs import LabResult
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.plan_files import trade_plan
from app.domain.reading import Standing
from app.report.said import Part, page_said
from app.report.said_top import tested_said as said_of_tests
from app.report.web_page import web_page
from app.review.visit import VisitPage
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.kit_rows import kit_of
from app.work.kit_tests import note_control
from app.work.kit_things import add_meter
from app.work.note_down import note_ketones, note_lab
from app.work.plan import set_plan
from tests.commands import Terminal
from tests.households import INSTALLATION, NOW, corwin, new_diary, result, tilde, written
from tests.sheets import EVENING, MARCH, Web, page_of, saved, spring_of


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def words(part: Part) -> str:
    """A part as it is read, without its markup."""
    text = " ".join(part.paragraphs).replace("<b>", "").replace("</b>", "")
    return unescape(text).replace("\u00a0", " ")


def control(diary: Diary, person: Person, value: str, at: str) -> None:
    kit = kit_of(diary)
    if not kit.meters:
        add_meter(diary, person, "blue", now=NOW, unit=Unit.MMOL_L, zone=person.zone)
        kit = kit_of(diary)
    note_control(
        diary,
        person,
        result(value, Unit.MMOL_L),
        moment_at(datetime.fromisoformat(at), person.zone, 0),
        now=NOW,
        meter=kit.meters[0],
        level="normal",
    )


def ketones(diary: Diary, person: Person, found: Ketones, at: str) -> None:
    moment = moment_at(datetime.fromisoformat(at), person.zone, 0)
    note_ketones(diary, person, found, moment, now=NOW)


def test_what_was_kept_of_the_plan_is_told_in_plain_counts(diary: Diary) -> None:
    person = tilde(diary)
    set_plan(diary, person, trade_plan("five-point").in_force(date(2026, 3, 2)), now=NOW)
    for day in range(2, 12):
        written(diary, person, f"2026-03-{day:02d} 07:10", "6.1", Mark.WAKING)

    page = page_of(diary)
    said = words(page_said(page).tested)

    assert page.kept is not None
    assert page.kept.all.kept == 10
    assert f"Plan: 10 of {page.kept.all.planned} planned tests done." in said
    assert "Fewer: " in said
    assert not any(word in said for word in ("missed", "failed", "only", "!", "good", "%"))


def test_without_a_plan_nothing_is_said_of_one(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-11 07:10", "6.1", Mark.WAKING)

    assert page_of(diary).kept is None
    assert "Plan" not in words(page_said(page_of(diary)).tested)


def test_a_plan_that_expected_nothing_yet_is_no_plan_of_the_period(diary: Diary) -> None:
    person = tilde(diary)
    set_plan(diary, person, trade_plan("five-point").in_force(date(2026, 3, 12)), now=NOW)

    assert page_of(diary, Period(date(2026, 2, 1), date(2026, 2, 28))).kept is None


def test_control_tests_alone_are_no_readings(diary: Diary, tmp_path: Path, qapp: object) -> None:
    person = tilde(diary)
    control(diary, person, "6.4", "2026-03-10 07:00")
    control(diary, person, "6.6", "2026-03-11 07:00")
    control(diary, person, "6.6", "2026-01-11 07:00")

    page = page_of(diary)
    said = page_said(page)

    assert page.figures.n == 0
    assert words(said.tested) == (
        "Not tested: no readings in this period. 2 control tests of the kit, in no figure."
    )
    assert words(said.lows) == words(said.highs) == "Not tested."
    assert "6.4" not in one_page(page, tmp_path)


def test_ketones_alone_are_told_and_glucose_is_not_invented(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    person = tilde(diary)
    ketones(diary, person, Ketones("blood", value="0.4"), "2026-03-09 20:00")
    ketones(diary, person, Ketones("blood", value="1.2"), "2026-03-10 07:00")
    ketones(diary, person, Ketones("urine", level="large"), "2026-03-10 12:00")

    page = page_of(diary)

    assert words(page_said(page).highs) == (
        "Not tested. Ketones: 3 tests, highest 1.2 mmol/L on 10 March 07:00."
    )
    assert "1.2 mmol/L" in one_page(page, tmp_path)


def test_ketones_off_the_scale_or_by_urine_alone_have_no_made_up_number(diary: Diary) -> None:
    person = tilde(diary)
    ketones(diary, person, Ketones("urine", level="trace"), "2026-03-09 20:00")
    ketones(diary, person, Ketones("urine", level="moderate"), "2026-03-10 07:00")

    assert "highest urine: moderate on 10 March 07:00" in words(page_said(page_of(diary)).highs)


def test_the_longest_stretch_without_a_test_is_named(diary: Diary) -> None:
    person = tilde(diary)
    for day in (1, 2, 3, 7, 8, 12):
        written(diary, person, f"2026-03-{day:02d} 07:10", "6.1", Mark.WAKING)

    assert page_of(diary).gap == Period(date(2026, 3, 4), date(2026, 3, 6))
    assert "Longest without a test: 3 days, 4 – 6 March." in words(page_said(page_of(diary)).tested)


def test_days_to_come_are_no_stretch_without_a_test(diary: Diary) -> None:
    person = tilde(diary)
    for day in (10, 11, 12):
        written(diary, person, f"2026-03-{day:02d} 07:10", "6.1", Mark.WAKING)

    assert page_of(diary, Period(date(2026, 3, 10), date(2026, 4, 30))).gap is None


def test_the_last_value_of_a_laboratory_before_the_period_stands_beside(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 07:10", "6.1", Mark.WAKING)
    for day, value in (("2025-06-01", "9.9"), ("2025-12-01", "8.4"), ("2026-03-05", "7.6")):
        at = moment_at(datetime.fromisoformat(f"{day} 12:00"), person.zone, 0)
        note_lab(diary, person, LabResult("a1c", value, "%"), at, now=NOW)

    lab = page_said(page_of(diary)).lab.replace("<b>", "").replace("</b>", "")

    assert lab == "Lab A1C: 8.4 % (68 mmol/mol), 1 December; 7.6 % (60 mmol/mol), 5 March"


def test_doubt_and_what_was_left_out_are_counted(diary: Diary) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-10 07:10", "126", Mark.WAKING)
    written(diary, person, "2026-03-10 12:10", "130", hands="not")
    written(diary, person, "2026-03-11 07:10", "128", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-11 12:10", "99", standing=Standing.NOT_MINE)

    said = words(page_said(page_of(diary)).know)

    assert "1 in doubt (hands not washed 1): average with " in said
    assert "Left out: 1 set aside and 1 of another person." in said


def test_a_reading_beyond_its_goal_is_drawn_so_and_counted_so(diary: Diary) -> None:
    person = corwin(diary, targets="ada-adults")
    for day, value in ((8, "79"), (9, "100"), (10, "130"), (11, "131"), (12, "181")):
        written(diary, person, f"2026-03-{day:02d} 07:10", value, Mark.WAKING)

    page = page_of(diary)
    waking = page_said(page).slots[0]

    assert page.waking.level.tolist() == [1, 2, 2, 3, 3]
    assert (waking.below, waking.above) == (1, 2)
    drawn = {
        int(each): int(level)
        for each, level in zip(page.by_slot.marks.id, page.by_slot.marks.level, strict=True)
    }
    assert sorted(drawn.values()) == [1, 2, 2, 3, 3]


def test_an_average_that_cannot_be_says_why_in_full(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    person = tilde(diary)
    for day, value in ((9, "2.4"), (10, "LO"), (11, "HI"), (12, "6.1")):
        written(diary, person, f"2026-03-{day:02d} 07:10", value, Mark.WAKING)

    page = page_of(diary)
    (plainly, *_) = page_said(page).averages

    assert plainly[1].startswith("not shown: ")
    assert one_page(page, tmp_path).count(plainly[1]) >= 1


@pytest.mark.parametrize("name", ["Tilde", "Corwin"])
def test_ten_years_are_one_page_and_no_number_is_lost(
    tmp_path: Path, qapp: object, name: str
) -> None:
    ten_years = last_days(3653, date(2026, 8, 31))
    now = datetime(2026, 8, 31, 23, tzinfo=EVENING.tzinfo)
    with spring_of(tmp_path, name, period=ten_years, now=now) as (page, second):
        out = saved(page, tmp_path)
        reader = PdfReader(out)
        text = " ".join(reader.pages[0].extract_text().split())

        assert len(reader.pages) == 1
        assert f"{page.figures.n} readings on {page.figures.days_with_readings}" in text
        assert second.n == page.figures.n
        assert sum(row.is_empty for row in second.rows) >= 1


def test_one_reading_in_a_month_is_not_told_as_none_a_day(diary: Diary) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-11 07:10", "126", Mark.WAKING)

    said = said_of_tests(page_of(diary, Period(date(2026, 2, 10), date(2026, 3, 11))))

    assert "days, less than 0.1 a day." in said[0]


def test_one_day_is_a_period_too(diary: Diary, tmp_path: Path, qapp: object) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-11 07:10", "126", Mark.WAKING)

    page = page_of(diary, Period(date(2026, 3, 11), date(2026, 3, 11)))

    assert page.gap is None
    assert "1 readings on 1 of 1 day" not in one_page(page, tmp_path)
    assert "1 reading on 1 of 1 day, 1.0 a day." in one_page(page, tmp_path)


def test_nothing_at_all_is_said_in_words_everywhere(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    tilde(diary)
    page = page_of(diary, MARCH)

    text, web = one_page(page, tmp_path), Web(web_page(page)).text

    for said in (
        "Not tested: no readings in this period.",
        "Not tested: no readings before and after a meal.",
        "Not tested: no night with a value in it and at waking.",
        "Nothing is written down.",
        "No goals are written down.",
    ):
        assert (said in text, said in web) == (True, True)
    assert "Ketones" not in text
    assert "nan" not in f"{text} {web}".casefold()


def one_page(page: VisitPage, folder: Path) -> str:
    """The text of the sheet, which has to be one page."""
    (sheet,) = PdfReader(saved(page, folder)).pages
    return " ".join(sheet.extract_text().split())


@pytest.mark.parametrize(
    ("capacity", "said"),
    [
        (
            "60",
            "The blue meter wrote over its results of 20 May – 13 June before they were copied.",
        ),
        (None, "The blue meter may have written over results of 20 May – 13 June."),
    ],
)
def test_what_a_meter_wrote_over_is_told(tmp_path: Path, capacity: str | None, said: str) -> None:
    terminal = Terminal(tmp_path, now=datetime(2026, 7, 24, 9, tzinfo=EVENING.tzinfo))
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    more = ("--capacity", capacity) if capacity else ()
    terminal.ok("kit", "meter", "add", "blue", *more)
    for name, places in (("one", range(60)), ("two", range(130, 190))):
        file = terminal.folder / f"{name}.csv"
        file.write_text(memory_of(places), encoding="utf-8")
        terminal.ok("import", str(file), "--meter", "blue")

    with open_diary(terminal.diary, INSTALLATION) as diary:
        inside = page_of(diary, Period(date(2026, 6, 1), date(2026, 6, 30)), now=terminal.now)
        outside = page_of(diary, Period(date(2026, 6, 20), date(2026, 6, 30)), now=terminal.now)

    assert said in words(page_said(inside).know)
    assert "blue meter" not in words(page_said(outside).know)


def memory_of(places: range) -> str:
    """Three results a day from the first of May on, by their places in the memory."""
    begun = datetime.fromisoformat("2026-05-01T06:50")
    rows = (
        f"{begun + timedelta(hours=8 * at):%Y-%m-%d,%H:%M},{4 + at % 60 / 10:.1f},waking\n"
        for at in places
    )
    return "Date,Time,Glucose (mmol/L),Meal\n" + "".join(rows)


def test_a_night_reading_without_a_mark_is_not_told_as_a_night_never_tested(diary: Diary) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-11 07:10", "126", Mark.WAKING)
    without = " ".join(said_of_tests(page_of(diary, Period(date(2026, 3, 1), date(2026, 3, 11)))))
    written(diary, person, "2026-03-11 02:10", "64")

    said = " ".join(said_of_tests(page_of(diary, Period(date(2026, 3, 1), date(2026, 3, 11)))))

    assert "bedtime and night." in without
    assert "night." not in said.partition("Never tested:")[2].partition(".")[0]
    assert "No reading is marked as night." in said
