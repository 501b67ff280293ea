from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

from app.domain.clock import Period
from app.domain.marks import Mark
from app.report.out import write_pdf
from app.review.record import record_of
from app.review.visit import VisitPage, visit_page
from app.store.diary import Diary
from app.store.people import persons
from tests.households import NOW, corwin, new_diary, sample_of, written
from tests.pdf_pages import MM, Shape, Words, shapes_on, words_on

MARCH = Period(date(2026, 3, 1), date(2026, 3, 12))
# Five values a slot, so that nothing else is drawn from them but a median and its box.
VALUES = (62, 75, 100, 131, 155, 190, 240, 260, 300)
_TEXT, _MARKS = 4.5, 3.0  # WCAG 2.2: 1.4.3 for text, 1.4.11 for what is drawn


@dataclass(frozen=True, slots=True)
class Drawn:
    words: list[Words]
    shapes: list[Shape]


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        person = corwin(made, targets="ada-adults")
        for at, value in enumerate(VALUES):
            written(made, person, f"2026-03-{at + 1:02d} 07:00", str(value), Mark.WAKING)
        yield made


def page_of(diary: Diary) -> VisitPage:
    (person,) = persons(diary)
    return visit_page(diary, record_of(diary, person), MARCH, now=NOW)


def drawn(page: VisitPage, out: Path, size: str = "A4") -> Drawn:
    write_pdf(page, out, size=size)
    return Drawn(words_on(out), shapes_on(out))


def label(words: list[Words], text: str, *, left_of: float) -> Words:
    (found,) = [each for each in words if each.text == text and each.left < left_of]
    return found


def marks_in(
    shapes: list[Shape], left: float, right: float, top: float, bottom: float
) -> list[Shape]:
    """Discs and triangles of a reading within an area: as small as marks are on paper."""
    return [
        each
        for each in shapes
        if left <= each.middle[0] <= right
        and top <= each.middle[1] <= bottom
        and each.box[2] - each.box[0] < 3
        and (each.points_up is not None or each.curved)
    ]


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_a_label_of_the_axis_stands_at_its_value(
    diary: Diary, tmp_path: Path, qapp: object, size: str
) -> None:
    found = drawn(page_of(diary), tmp_path / "a.pdf", size)
    slots_top = next(each.base for each in found.words if each.text == "By slot")
    slots_end = next(each.base for each in found.words if each.text == "median")
    chart = [each for each in found.words if slots_top < each.base < slots_end]
    heights = {each: label(chart, str(each), left_of=27).middle for each in (130, 180, 250)}
    first_column = marks_in(found.shapes, 27, 47, slots_top, slots_end)

    # From two labels the height of any value follows; each reading has to stand there.
    per_unit = (heights[130] - heights[250]) / (250 - 130)
    expected = [heights[130] - (value - 130) * per_unit for value in VALUES]

    assert heights[180] == pytest.approx(heights[130] - 50 * per_unit, abs=0.05)
    assert sorted(each.middle[1] for each in first_column) == pytest.approx(
        sorted(expected), abs=0.4
    )


def test_both_units_of_a_limit_stand_at_one_height(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    words = drawn(page_of(diary), tmp_path / "a.pdf").words

    for first, second in (("80", "4.4"), ("180", "10.0"), ("250", "13.9"), ("70", "3.9")):
        left = next(each for each in words if each.text == first and each.left < 27)
        right = next(each for each in words if each.text == second and each.left > 180)
        assert left.base == pytest.approx(right.base, abs=0.01)


def test_shapes_alone_tell_low_within_high_and_far(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    found = drawn(page_of(diary), tmp_path / "a.pdf")
    top = next(each.base for each in found.words if each.text == "By slot")
    end = next(each.base for each in found.words if each.text == "median")

    marks = marks_in(found.shapes, 27, 47, top, end)

    assert sum(each.curved for each in marks) == 1  # 100 alone is within 80 to 130
    assert sum(each.points_up is False for each in marks) == 2  # 62 and 75
    assert sum(each.points_up is True for each in marks) == 6
    bars = [
        each
        for each in found.shapes
        if 27 <= each.middle[0] <= 47
        and top <= each.middle[1] <= end
        and each.points_up is None
        and 0.5 < each.box[2] - each.box[0] < 3
        and each.box[3] - each.box[1] < 0.5
    ]
    assert len(bars) == 2  # over 260 and 300 alone


def test_in_grey_every_text_and_every_mark_keeps_its_contrast(tmp_path: Path, qapp: object) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, person):
        period = Period(date(2026, 2, 7), date(2026, 5, 7))
        page = visit_page(diary, record_of(diary, person), period, now=NOW)
        found = drawn(page, tmp_path / "a.pdf")
    grounds = [(1.0, 1.0, 1.0), *(each.colour for each in found.shapes if _is_ground(each))]
    marks = {each.colour for each in found.shapes if each.points_up is not None or each.curved}
    hollow = {(1.0, 1.0, 1.0)}  # the inside of a mark in doubt

    for mark in marks - hollow:
        assert min(contrast(grey(mark), grey(ground)) for ground in grounds) >= _MARKS, mark
    for ink in text_inks(tmp_path / "a.pdf"):
        assert min(contrast(grey(ink), grey(ground)) for ground in grounds) >= _TEXT, ink


def _is_ground(shape: Shape) -> bool:
    left, top, right, bottom = shape.box
    return right - left > 8 and bottom - top > 8


def text_inks(path: Path) -> set[tuple[float, ...]]:
    """The colours that letters are filled with."""
    from pypdf import PdfReader
    from pypdf.generic import ContentStream

    reader = PdfReader(path)
    ink: tuple[float, ...] = ()
    found = set()
    for operands, operator in ContentStream(reader.pages[0].get_contents(), reader).operations:
        if operator == b"scn":
            ink = tuple(float(each) for each in operands)
        elif operator == b"BT":
            found.add(ink)
    return found


def grey(colour: tuple[float, ...]) -> float:
    """The luminance of a colour, as a black and white printer has it (WCAG 2.2, definition)."""
    red, green, blue = (
        each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in colour
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: float, other: float) -> float:
    low, high = sorted((one, other))
    return (high + 0.05) / (low + 0.05)


def test_no_words_of_the_second_axis_run_into_each_other(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    words = drawn(page_of(diary), tmp_path / "a.pdf").words
    axis = sorted(each.base for each in words if each.left > 180 and each.text[0].isdigit())

    assert all(lower - upper > 2.0 for upper, lower in pairwise(axis))


def test_millimetres_are_those_of_the_paper(diary: Diary, tmp_path: Path, qapp: object) -> None:
    words = drawn(page_of(diary), tmp_path / "a.pdf").words

    assert words[0].text == "Corwin"
    assert words[0].left == pytest.approx(12.0, abs=0.3)
    assert words[0].size == pytest.approx(15.0 * MM, rel=0.02)
