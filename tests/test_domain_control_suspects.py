from __future__ import annotations

from dataclasses import replace
from uuid import UUID

from app.domain.control_suspects import FromMemory, control_suspects
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.kit import KitEvent
from tests.kits import RANGE, instant, kit_of_tests

# The vials of these kits are to show 5.2 to 7.8 mmol/L.
KIT = kit_of_tests(uses=[(1, 1, 10, None)])


def record(hour: int, value: str, *, marked: bool = False) -> FromMemory:
    return FromMemory(instant(hour), Glucose(value, Unit.MMOL_L), marked)


def suspects(*records: FromMemory) -> list[int]:
    return sorted(control_suspects(KIT, 1, records))


def test_an_unmarked_result_in_the_printed_range_after_a_new_vial_is_asked_about() -> None:
    found = control_suspects(KIT, 1, [record(9, "6.0"), record(11, "6.0"), record(20, "9.0")])

    assert found == {1: RANGE}


def test_both_ends_of_the_range_are_inside() -> None:
    assert suspects(record(11, "5.2"), record(12, "7.8")) == [0, 1]
    assert suspects(record(11, "5.1"), record(12, "7.9")) == []


def test_a_result_with_a_mark_of_a_meal_is_none() -> None:
    assert suspects(record(11, "6.0", marked=True)) == []


def test_only_the_first_two_within_a_day_are_looked_at() -> None:
    assert suspects(record(11, "9.0"), record(12, "9.0"), record(13, "6.0")) == []
    assert suspects(record(35, "6.0")) == []


def test_what_is_off_the_scale_is_none() -> None:
    low = FromMemory(instant(11), Glucose(None, Unit.MMOL_L, Bound.BELOW), False)

    assert suspects(low) == []


def test_a_dropped_meter_asks_for_a_test_too() -> None:
    dropped = KitEvent(1, UUID(int=1), "dropped", instant(100), meter=1)
    kit = replace(KIT, events=(dropped,))

    assert control_suspects(kit, 1, [record(101, "6.0")]) == {0: RANGE}


def test_another_meter_is_not_meant() -> None:
    assert control_suspects(KIT, 2, [record(11, "6.0")]) == {}
