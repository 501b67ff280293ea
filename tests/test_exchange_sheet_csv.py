from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.errors import NeedsAnswer, Refused
from app.domain.marks import SLOTS, Mark
from app.exchange.sheet_csv import blank_sheet, read_sheet

DAY = date(2026, 5, 4)
TITLES = "day,waking,before lunch\n"


def read(text: str, order: str = "dmy") -> list[tuple[date, Mark, str, int | None]]:
    cells = read_sheet(text.encode(), date_order=order).cells
    return [(each.day, each.slot, each.text, each.line) for each in cells]


def test_each_box_has_its_day_its_slot_and_its_line() -> None:
    found = read(f"{TITLES}2026-05-04,6.1,7.2 12:10\n2026-05-05,,5.9\n")

    assert found == [
        (DAY, Mark.WAKING, "6.1", 2),
        (DAY, Mark.BEFORE_LUNCH, "7.2 12:10", 2),
        (DAY + timedelta(days=1), Mark.BEFORE_LUNCH, "5.9", 3),
    ]


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("05/06/2026", "dmy", date(2026, 6, 5)),
        ("05/06/2026", "mdy", date(2026, 5, 6)),
        ("2026-05-06", "mdy", date(2026, 5, 6)),
        ("6 May 2026", "dmy", date(2026, 5, 6)),
    ],
)
def test_a_day_is_read_in_the_order_of_the_person(text: str, order: str, day: date) -> None:
    assert read(f"{TITLES}{text},6.1,\n", order)[0][0] == day


def test_the_titles_may_be_codes_and_the_sign_between_any_usual_one() -> None:
    text = "Tag;waking;before_evening_meal\n2026-05-04;6,1;7,2\n"

    assert [each[1:3] for each in read(text)] == [
        (Mark.WAKING, "6,1"),
        (Mark.BEFORE_EVENING_MEAL, "7,2"),
    ]


def test_a_row_that_is_none_is_a_problem_with_its_line_beside_the_others() -> None:
    found = read_sheet(
        f"{TITLES}next week,6.1,\n2026-05-04,6.1,7.2,8.8\n2026-05-05,5.9,\n".encode(),
        date_order="dmy",
    )

    assert [each.line for each in found.problems] == [2, 3]
    assert [each.text for each in found.cells] == ["5.9"]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("day,lunch\n2026-05-04,6\n", '"lunch" is no slot'),
        ("day,casual\n2026-05-04,6\n", '"casual" is no slot'),
        ("day,waking,fasting,waking\n", '"fasting" is no slot'),
        ("day,waking,waking\n", "names a slot twice"),
        ("day\n2026-05-04\n", "names no slot"),
    ],
)
def test_titles_that_are_no_slots_are_refused(text: str, why: str) -> None:
    with pytest.raises(Refused, match=why):
        read(text)


def test_bytes_that_could_be_any_text_are_asked_about() -> None:
    with pytest.raises((NeedsAnswer, Refused)):
        read_sheet(b"day,waking\n2026-05-04,6.1 caf\xe9\n", date_order="dmy")


NOTES = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "Zs")), max_size=30)


@given(
    boxes=st.dictionaries(
        st.tuples(st.integers(0, 4), st.sampled_from(SLOTS)),
        NOTES.map(lambda note: f"6.1 07:10 {note}".strip()),
        max_size=12,
    )
)
def test_a_blank_sheet_that_was_filled_in_is_read_as_it_was(
    boxes: dict[tuple[int, Mark], str],
) -> None:
    import csv
    import io

    days = [DAY + timedelta(days=at) for at in range(5)]
    rows = list(csv.reader(io.StringIO(blank_sheet(days), newline="")))
    for (row, slot), text in boxes.items():
        rows[row + 1][SLOTS.index(slot) + 1] = text
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows)

    found = {(each[0], each[1]): each[2].strip() for each in read(out.getvalue())}

    assert found == {(days[row], slot): text.strip() for (row, slot), text in boxes.items()}
