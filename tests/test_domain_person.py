from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.person import LONGEST_NAME, checked_name, checked_unit, checked_zone


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("Tilde", "Tilde"),
        ("  Tilde  ", "Tilde"),
        ("Ana  Maria\tVaz", "Ana Maria Vaz"),
        ("Zoë", "Zoë"),
        ("شهرزاد", "شهرزاد"),
        ("x" * LONGEST_NAME, "x" * LONGEST_NAME),
    ],
)
def test_a_name_is_kept_on_one_line(typed: str, kept: str) -> None:
    assert checked_name(typed) == kept


@pytest.mark.parametrize(
    "typed", ["", "  ", "\t\n", "a\x00b", "a\x1bb", "a\u202eb", "x" * (LONGEST_NAME + 1), "\udcff"]
)
def test_a_name_that_can_not_be_shown_is_refused(typed: str) -> None:
    with pytest.raises(Refused):
        checked_name(typed)


@given(st.text(max_size=120))
def test_a_kept_name_stays_as_it_is(typed: str) -> None:
    try:
        kept = checked_name(typed)
    except Refused:
        return
    assert checked_name(kept) == kept
    assert kept.isprintable()
    assert 0 < len(kept) <= LONGEST_NAME


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("mg/dL", Unit.MG_DL),
        ("MG/DL", Unit.MG_DL),
        (" mg/dl ", Unit.MG_DL),
        ("mmol/L", Unit.MMOL_L),
        ("MMOL/l", Unit.MMOL_L),
    ],
)
def test_a_unit_is_known_however_it_is_written(typed: str, unit: Unit) -> None:
    assert checked_unit(typed) is unit


@pytest.mark.parametrize("typed", ["", "mg", "mmol", "g/L", "mg/dL mmol/L", "mM"])
def test_another_unit_is_refused_with_those_there_are(typed: str) -> None:
    with pytest.raises(Refused, match="say mg/dL or mmol/L"):
        checked_unit(typed)


@pytest.mark.parametrize("name", ["Europe/Lisbon", "America/Chicago", "Asia/Kathmandu", "UTC"])
def test_a_zone_is_kept_as_it_is_named(name: str) -> None:
    assert checked_zone(name) == name


@pytest.mark.parametrize(
    "name", ["", "Europe/Atlantis", "../../etc/passwd", "/etc/localtime", ".", "a\x00b", "x" * 5000]
)
def test_what_is_no_zone_is_refused(name: str) -> None:
    with pytest.raises(Refused, match="is not a time zone known here"):
        checked_zone(name)
