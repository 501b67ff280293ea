from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.numerals import ascii_digits, half_up, plain_number

TAKEN = [
    ("7", "7"), ("7.2", "7.2"), ("5,6", "5.6"), ("5,60", "5.60"), ("088", "88"), ("0.5", "0.5"),
    ("00.5", "0.5"), ("000", "0"), (" 112 ", "112"), ("٧٫٢", "7.2"), ("７．２", "7.2"),
    ("७,२", "7.2"), ("123456789012", "123456789012"),
]  # fmt: skip
REFUSED = [
    "", " ", ".", ",", ".5", "5.", "5,", "-3", "+5", "−3", "1e3", "1e400", "1E2", "1_0", "nan",
    "inf", "Infinity", "0x10", "5²", "½", "V", "五",
    "5.6.7", "1,234.5", "5 6", "5\n6", "7.2x", "1'000",
    "1234567890123", "5\x00", "¼", "①", "5٬000",
]  # fmt: skip


@pytest.mark.parametrize(("typed", "plain"), TAKEN)
def test_digits_with_one_decimal_mark_are_taken(typed: str, plain: str) -> None:
    assert plain_number(typed) == plain


@pytest.mark.parametrize("typed", REFUSED)
def test_anything_else_is_refused(typed: str) -> None:
    assert plain_number(typed) is None


@given(st.text(max_size=15))
def test_what_is_taken_is_a_finite_number_that_is_not_negative(text: str) -> None:
    plain = plain_number(text)

    assert plain is None or (0 <= float(plain) < 1e12 and plain.isascii())


@given(st.integers(0, 99999), st.integers(0, 999), st.sampled_from([0x0660, 0x0966, 0xFF10]))
def test_other_scripts_give_the_same_number(whole: int, part: int, zero: int) -> None:
    typed = f"{whole}.{part:03d}"
    there = "".join(chr(zero + int(char)) if char.isdecimal() else char for char in typed)

    assert plain_number(there) == plain_number(typed) == typed


@given(st.text(max_size=30))
def test_writing_in_ascii_keeps_every_place(text: str) -> None:
    written = ascii_digits(text)

    assert len(written) == len(text)
    assert ascii_digits(written) == written


@pytest.mark.parametrize(
    ("value", "places", "shown"),
    [
        (2.25, 1, "2.3"), (2.35, 1, "2.4"), (0.5, 0, "1"), (1.5, 0, "2"), (2.5, 0, "3"),
        (2.675, 2, "2.68"), (1.005, 2, "1.01"), (3.95, 1, "4.0"), (0.0, 1, "0.0"),
        (99.95, 1, "100.0"),        (0.1 + 0.2, 1, "0.3"), (4.35 * 100 / 100, 1, "4.4"),
    ],
)  # fmt: skip
def test_half_goes_up_and_not_to_even(value: float, places: int, shown: str) -> None:
    assert str(half_up(value, places)) == shown


@given(st.integers(0, 10_000))
def test_every_twentieth_rounds_up_as_on_paper(twentieths: int) -> None:
    exact = Decimal(twentieths) / 20

    assert half_up(twentieths / 20, 1) == exact.quantize(Decimal("0.1"), rounding="ROUND_HALF_UP")
