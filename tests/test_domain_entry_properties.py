from __future__ import annotations

import unicodedata
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.entry import Entry, read_entry, with_answer
from app.domain.glucose import Unit
from tests.entry_lines import context, mg, mmol

BITS = [
    bit
    for text in (
        "7.2 5,6 112 650 0650 18.20 LO HI < > <20 mmol mg/dL mg before after lunch dinner fasting",
        "night at on 7pm noon yesterday ago 2h 90 min 12 Mar 12/3 2026-03-12 left index palm",
        'unwashed #swim swim juice ml note: ; -- " " , . : --sure -3 1e4 nan',
        "tue last 06:50 25:10 31 Feb 24:00 low 02:30",
    )
    for bit in text.split(" ")
]
lines = st.one_of(
    st.text(max_size=60),
    st.lists(st.sampled_from(BITS), max_size=10).map(" ".join),
    st.lists(st.sampled_from(BITS), max_size=8).map("".join),
)
SCRIPTS = {"arabic": 0x0660, "devanagari": 0x0966, "full width": 0xFF10, "thai": 0x0E50}


def in_script(text: str, zero: int) -> str:
    return "".join(chr(zero + int(char)) if char in "0123456789" else char for char in text)


@given(lines, st.sampled_from([Unit.MG_DL, Unit.MMOL_L]), st.booleans())
def test_any_text_is_read_without_an_exception(text: str, unit: Unit, sure: bool) -> None:
    entry = read_entry(text, context(unit=unit), sure=sure)

    assert entry.glucose is not None or entry.questions or entry.problems
    assert entry.moment is not None or entry.questions or entry.problems


@given(st.text(max_size=40), lines)
def test_any_time_given_apart_is_read_without_an_exception(at: str, text: str) -> None:
    assert mmol(text, at=at).time_from in ("now", "typed")


@given(lines)
def test_every_letter_and_figure_lies_in_a_piece(text: str) -> None:
    entry = mmol(text)

    covered = [False] * len(text)
    for piece in entry.pieces:
        assert text[piece.start : piece.end] == piece.text
        for i in range(piece.start, piece.end):
            assert not covered[i]
            covered[i] = True
    left = [char for char, is_in in zip(text, covered, strict=True) if not is_in]
    assert not [char for char in left if char.isalnum() or unicodedata.category(char) == "So"]


@given(st.integers(11, 333), st.sampled_from([".", ","]), st.sampled_from(["", "before lunch "]))
def test_number_is_kept_as_typed_with_point_or_comma(tenths: int, sign: str, mark: str) -> None:
    entry = mmol(f"{mark}{tenths // 10}{sign}{tenths % 10}")

    assert entry.is_ready
    assert entry.glucose is not None
    assert entry.glucose.value == f"{tenths // 10}.{tenths % 10}"


@given(st.integers(20, 600))
def test_whole_number_is_taken_at_once_in_mg(value: int) -> None:
    entry = mg(str(value))

    assert entry.is_ready
    assert entry.glucose is not None
    assert entry.glucose.value == str(value)


@pytest.mark.parametrize("zero", SCRIPTS.values(), ids=SCRIPTS.keys())
@given(
    typed=st.sampled_from(
        ["7.2 before lunch", "112 fasting 6:50", "5,6 1820", "<20 mg/dL", "7.2 12/3 06:50", "56"]
    )
)
def test_figures_of_another_script_say_the_same(zero: int, typed: str) -> None:
    assert _said(mmol(in_script(typed, zero))) == _said(mmol(typed))


@given(lines)
def test_letters_large_and_small_say_the_same(text: str) -> None:
    if not text.isascii():
        return
    small, large = mmol(text.lower()), mmol(text.upper())

    if small.glucose and large.glucose and not small.questions and not large.questions:
        assert (small.glucose, small.moment, small.mark) == (
            large.glucose,
            large.moment,
            large.mark,
        )


@given(st.lists(st.sampled_from(BITS), max_size=8).map(" ".join))
def test_answers_of_a_choice_lead_to_another_question_or_none(text: str) -> None:
    entry = mmol(text)

    for question in entry.questions:
        for answer in question.answers:
            again = mmol(with_answer(text, entry, question, answer))
            assert question not in again.questions


def _said(entry: Entry) -> Entry:
    return replace(entry, pieces=(), note=None)
