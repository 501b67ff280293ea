from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.control import Verdict, judge
from app.domain.control_doubt import METER, VIAL, failed_tests
from app.domain.doubt import (
    CLOCK_BITS,
    DEVICE_BITS,
    Told,
    doubt_bits,
    doubt_of,
    kit_doubt,
)
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.kit import ControlTest, Kit, KitEvent, Narrowed, Vial
from app.domain.marks import Mark
from app.domain.reading import Doubt
from app.domain.vials_used import stretches_of, vials_used
from tests.kits import control, facts, instant, kit_of_tests, uid

_test = st.tuples(
    st.integers(0, 60), st.integers(1, 3), st.integers(1, 3), st.sampled_from(["6.0", "9.5"])
)
_tests = st.lists(_test, max_size=10, unique_by=lambda each: each[0]).map(
    lambda rows: [control(n, *row) for n, row in enumerate(rows, start=1)]
)
_readings = st.lists(
    st.tuples(st.integers(0, 60), st.integers(1, 3), st.integers(1, 3)), max_size=25
)


@given(_tests, _readings, st.randoms(use_true_random=False))
def test_the_order_in_which_control_tests_are_written_never_matters(
    tests: list[ControlTest], readings: list[tuple[int, int, int]], draw: object
) -> None:
    found = facts(readings)
    shuffled = list(tests)
    draw.shuffle(shuffled)  # type: ignore[attr-defined]

    one, other = kit_of_tests(tests), kit_of_tests(shuffled)

    assert np.array_equal(doubt_bits(found, kit_doubt(one)), doubt_bits(found, kit_doubt(other)))
    assert [each.judged.test.id for each in failed_tests(one, judge(one))] == [
        each.judged.test.id for each in failed_tests(other, judge(other))
    ]


@given(_tests, _readings)
def test_doubt_is_what_a_plain_loop_over_readings_and_fails_gives(
    tests: list[ControlTest], readings: list[tuple[int, int, int]]
) -> None:
    bits = doubt_bits(facts(readings), kit_doubt(kit_of_tests(tests)))

    expected = [_plainly(tests, *row) for row in sorted(readings)]

    assert [bool(each & Doubt.CONTROL) for each in bits.tolist()] == expected


def _plainly(tests: list[ControlTest], hour: int, meter: int, vial: int) -> bool:
    """Between the pass before a fail and the pass after it, of the meter or of the vial."""
    at = instant(hour)
    for fail in (each for each in tests if each.glucose.value == "9.5"):
        when = fail.moment.instant
        for same in (
            [each for each in tests if each.meter == fail.meter] if meter == fail.meter else None,
            [e for e in tests if e.vial_said == fail.vial_said] if vial == fail.vial_said else None,
        ):
            if same is None:
                continue
            passes = [each.moment.instant for each in same if each.glucose.value == "6.0"]
            after = max([p for p in passes if p < when], default=-1)
            before = min([p for p in passes if p > when], default=1 << 62)
            if after < at < before:
                return True
    return False


@given(_tests, _readings, st.sampled_from([METER, VIAL]))
def test_narrowing_never_puts_more_in_doubt(
    tests: list[ControlTest], readings: list[tuple[int, int, int]], side: str
) -> None:
    kit = kit_of_tests(tests)
    words = [
        Narrowed(each.judged.test.uid, side, offer.passed.test.uid)
        for each in failed_tests(kit, judge(kit))
        for offer in each.offers
        if offer.side == side
    ]

    wide = doubt_bits(facts(readings), kit_doubt(kit))
    narrow = doubt_bits(facts(readings), kit_doubt(replace(kit, narrowed=tuple(words))))

    assert not (narrow & ~wide).any()


@given(
    st.dates(date(2026, 5, 20), date(2026, 6, 10)), st.dates(date(2026, 5, 20), date(2026, 6, 10)),
    _readings,
)  # fmt: skip
def test_a_date_corrected_and_corrected_back_gives_the_same_doubt(
    printed: date, corrected: date, readings: list[tuple[int, int, int]]
) -> None:
    found = facts(readings)

    def bits(day: date) -> list[int]:
        vial = Vial(1, uid(2, 1), printed=day.isoformat())
        return [int(each) for each in doubt_bits(found, kit_doubt(kit_of_tests(vials=[vial])))]

    before = bits(printed)
    between = bits(corrected)

    assert bits(printed) == before
    assert sum(between) <= sum(before) or corrected < printed
    assert [bool(each) for each in before] == [
        vial == 1 and BEGIN_DAY + hour // 24 > printed.toordinal()
        for hour, _, vial in sorted(readings)
    ]


BEGIN_DAY = date(2026, 6, 1).toordinal()


@given(
    st.lists(
        st.tuples(
            st.integers(1, 3), st.integers(1, 2), st.integers(0, 30), st.integers(1, 20) | st.none()
        ),
        max_size=8,
    ),
    _readings,
)
def test_the_vial_of_a_reading_is_the_use_that_began_last_and_runs_still(
    rows: list[tuple[int, int, int, int | None]], readings: list[tuple[int, int, int]]
) -> None:
    uses = [(vial, m, start, None if n is None else start + n) for vial, m, start, n in rows]
    kit, found = kit_of_tests(uses=uses), facts(readings)

    vials = vials_used(
        found.meter, found.instant, np.zeros_like(found.vial), stretches_of(kit.uses)
    )

    expected = []
    for at, meter in zip(found.instant.tolist(), found.meter.tolist(), strict=True):
        running = [
            (use.start, use.id, use.vial)
            for use in kit.uses
            if use.meter == meter and use.start <= at and (use.end is None or at < use.end)
        ]
        expected.append(max(running)[2] if running else 0)
    assert vials.tolist() == expected


def test_a_vial_that_was_said_stands_whatever_the_meter_used() -> None:
    kit, found = kit_of_tests(uses=[(2, 1, 0, None)]), facts([(1, 1, 3), (2, 1, 0)])

    vials = vials_used(found.meter, found.instant, found.vial, stretches_of(kit.uses))

    assert vials.tolist() == [3, 2]


def bits_of(told: int, *, low: bool = False, after: bool = False) -> Doubt:
    one = facts([(1, 1, 1)])
    given = replace(
        one,
        told=np.array([told], dtype=np.int32),
        is_low=np.array([low]),
        is_after=np.array([after]),
    )
    return Doubt(int(doubt_bits(given, kit_doubt(Kit()))[0]))


def test_each_flag_of_a_reading_gives_its_own_reason() -> None:
    assert bits_of(Told.UNWASHED) == Doubt.HANDS
    assert bits_of(Told.DEVICE) == Doubt.DEVICE
    assert bits_of(Told.CLOCK) == Doubt.CLOCK
    assert bits_of(Told.ELSEWHERE) == Doubt.NONE
    assert bits_of(Told.ELSEWHERE, low=True) == Doubt.SITE
    assert bits_of(Told.ELSEWHERE, after=True) == Doubt.SITE
    assert bits_of(Told.NOTHING, low=True, after=True) == Doubt.NONE
    assert bits_of(Told.UNWASHED | Told.CLOCK) == Doubt.HANDS | Doubt.CLOCK


def test_status_bits_that_say_nothing_of_the_result_are_in_neither_mask() -> None:
    # Bluetooth SIG, Glucose Measurement: 0 battery low, 5 and 6 off the scale, 12 to 15 reserved.
    assert [bit for bit in range(16) if DEVICE_BITS & 1 << bit] == [1, 2, 3, 4, 7, 8, 9, 10]
    assert CLOCK_BITS == 1 << 11


def test_two_hours_after_food_the_forearm_is_not_relied_on() -> None:
    found = replace(facts([(1, 1, 1), (3, 1, 1), (4, 1, 1)]), told=np.full(3, 8, dtype=np.int32))
    eaten = np.array([instant(1)], dtype=np.int64)

    bits = doubt_bits(found, kit_doubt(Kit()), taken=eaten)

    assert bits.tolist() == [Doubt.SITE, Doubt.SITE, Doubt.NONE]


@pytest.mark.parametrize(
    ("site", "glucose", "mark", "doubted"),
    [
        ("forearm", Glucose("4.3", Unit.MMOL_L), Mark.NONE, True),
        ("forearm", Glucose("4.4", Unit.MMOL_L), Mark.NONE, False),
        ("thigh", Glucose("79", Unit.MG_DL), Mark.WAKING, True),
        ("thigh", Glucose(None, Unit.MG_DL, Bound.BELOW), Mark.WAKING, True),
        ("forearm", Glucose("9.0", Unit.MMOL_L), Mark.AFTER_LUNCH, True),
        ("palm", Glucose("3.0", Unit.MMOL_L), Mark.AFTER_LUNCH, False),
        (None, Glucose("3.0", Unit.MMOL_L), Mark.AFTER_LUNCH, False),
    ],
)
def test_a_reading_about_to_be_written_is_doubted_by_its_site(
    site: str | None, glucose: Glucose, mark: Mark, doubted: bool
) -> None:
    found = doubt_of(hands="unknown", site=site, glucose=glucose, mark=mark)

    assert (found == Doubt.SITE) is doubted


def test_readings_in_another_unit_than_the_meter_s_are_doubted_unless_confirmed() -> None:
    found = facts([(1, 1, 0), (2, 1, 0), (3, 0, 0), (5, 1, 0)])
    told = np.array([0, Told.UNIT_SURE, 0, 0], dtype=np.int32)
    in_mg = replace(found, mmol=np.zeros(4, dtype=np.bool_), told=told)
    changed = KitEvent(1, uid(5, 1), "unit", instant(4), meter=1, note="mg/dL")
    kit = replace(kit_of_tests(), events=(changed,))

    bits = doubt_bits(in_mg, kit_doubt(kit))

    assert bits.tolist() == [Doubt.UNIT, 0, 0, 0]


def test_strips_that_lay_in_heat_are_doubted_until_they_pass() -> None:
    heat = KitEvent(1, uid(5, 1), "heat", instant(2), vial=1)
    kit = replace(kit_of_tests([control(1, 6, 1, 1, "6.0")]), events=(heat,))

    bits = doubt_bits(
        facts([(1, 1, 1), (2, 1, 1), (5, 2, 1), (5, 1, 2), (7, 1, 1)]), kit_doubt(kit)
    )

    assert [bool(each & Doubt.HEAT) for each in bits.tolist()] == [False, True, False, True, False]


@pytest.mark.parametrize(
    ("value", "unit", "verdict"),
    [
        ("5.2", Unit.MMOL_L, Verdict.PASSED),
        ("7.8", Unit.MMOL_L, Verdict.PASSED),
        ("5.1", Unit.MMOL_L, Verdict.FAILED),
        ("7.9", Unit.MMOL_L, Verdict.FAILED),
        ("94", Unit.MG_DL, Verdict.PASSED),  # 5.2 mmol/L is 93.7 mg/dL, printed 94
        ("93", Unit.MG_DL, Verdict.FAILED),
        ("141", Unit.MG_DL, Verdict.PASSED),  # 7.8 mmol/L is 140.5, printed 141
        ("142", Unit.MG_DL, Verdict.FAILED),
    ],
)
def test_both_ends_of_a_printed_range_pass_in_the_unit_entered(
    value: str, unit: Unit, verdict: Verdict
) -> None:
    test = replace(control(1, 1, 1, 1, "6.0"), glucose=Glucose(value, unit))

    assert judge(kit_of_tests([test]))[0].verdict is verdict


def test_off_the_scale_is_outside_and_without_a_range_nothing_is_said() -> None:
    high = replace(control(1, 1, 1, 1, "6"), glucose=Glucose(None, Unit.MMOL_L, Bound.ABOVE))
    bare = Vial(1, uid(2, 1), lot="bare")

    assert judge(kit_of_tests([high]))[0].verdict is Verdict.FAILED
    assert judge(kit_of_tests([high], vials=[bare]))[0].verdict is Verdict.NO_RANGE


def test_every_reason_has_words_of_its_own() -> None:
    words = [bit.words for bit in Doubt if bit is not Doubt.NONE]

    assert all(words)
    assert len(set(words)) == len(words)
    assert (Doubt.HANDS | Doubt.VIAL).words == f"{Doubt.HANDS.words}, {Doubt.VIAL.words}"
