"""Ketone bands against the printed table.

How sure each value is: V read in the paper or the clinic's page, R a rule of this diary for what
the table leaves open.
"""

from __future__ import annotations

import pytest

from app.domain.glucose import Bound
from app.domain.ketones import BANDS, BANDS_SOURCE, BLOOD, URINE, Ketones, band_of


@pytest.mark.parametrize(
    ("value", "band"),
    [
        # Danne et al., Diabetes Care 2019;42:1147-1154, table 1 (V): below 0.6, 0.6 to 1.5, 1.6 to
        # 3.0, above 3.0. Meters show one decimal, so nothing lies between 1.5 and 1.6 (R).
        ("0.5", "normal"),
        ("0.6", "raised"),
        ("1.5", "raised"),
        ("1.6", "risk"),
        ("2.9", "risk"),
        # Royal Children's Hospital Melbourne (V) acts at 3.0 itself; so does this diary (R).
        ("3.0", "emergency"),
    ],
)
def test_blood_ketones_lie_in_the_printed_bands(value: str, band: str) -> None:
    found = band_of(Ketones(BLOOD, value=value))

    assert found is not None
    assert found.code == band


@pytest.mark.parametrize(
    ("level", "band"),
    [  # the urine column of the same table (V)
        ("negative", "normal"),
        ("trace", "raised"),
        ("small", "raised"),
        ("moderate", "risk"),
        ("large", "emergency"),
    ],
)
def test_urine_levels_lie_in_the_printed_bands(level: str, band: str) -> None:
    found = band_of(Ketones(URINE, level=level))

    assert found is not None
    assert found.code == band


def test_the_limits_are_data_with_their_source() -> None:
    assert [band.begins for band in BANDS] == [0.0, 0.6, 1.6, 3.0]
    assert "Diabetes Care 2019;42:1147-1154" in BANDS_SOURCE


def test_a_result_off_the_scale_is_on_the_safe_side() -> None:
    # R: "HI" is above what any meter shows, "LO" below what it can.
    codes = [
        band.code
        for band in (
            band_of(Ketones(BLOOD, Bound.ABOVE)),
            band_of(Ketones(BLOOD, Bound.ABOVE, "8.0")),
            band_of(Ketones(BLOOD, Bound.BELOW)),
        )
        if band
    ]

    assert codes == ["emergency", "emergency", "normal"]
