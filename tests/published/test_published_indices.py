"""J-index, M-value and GRADE: their formulas as later papers quote them, and worked records.

How sure each is: V2 formula read in another text that quotes it, M from memory, W worked with the
formula. The originals were not read.
"""

from __future__ import annotations

from statistics import median

import numpy as np
import pytest

from app.statistics.grade import grade, grade_weights
from app.statistics.j_index import PER_MMOL_L, j_index
from app.statistics.m_value import NO_RANGE_FROM, m_value

S10 = [92, 118, 145, 187, 103, 231, 76, 160, 134, 112]  # mg/dL
S5 = [5.4, 7.8, 11.2, 6.1, 9.9]  # mmol/L
MG_DL_PER_MMOL_L = 18.0156


def test_the_j_index_of_a_mean_of_150_with_an_sd_of_50_is_40() -> None:
    # Wojcicki, Horm Metab Res 1995;27:41-42 (M); 0.001 x 200^2 (W). These four have that mean, and
    # with n - 1 the SD of 50.
    values = np.array([-1, 1, -1, 1]) * 50 * np.sqrt(3) / 2 + 150

    assert np.std(values, ddof=1) == pytest.approx(50, abs=1e-12)
    assert j_index(values) == pytest.approx(40.0, abs=1e-9)


def test_the_j_index_of_the_sample_sets() -> None:
    # mmol/L form 0.324 (mean + SD)^2 from PMC3160264, table (V2); values W.
    assert j_index(S10) == pytest.approx(33.385829, abs=1e-5)
    assert j_index(S5, scale=PER_MMOL_L) == pytest.approx(36.001173, abs=1e-5)


def test_the_two_forms_of_the_j_index_differ_so_only_one_is_used() -> None:
    # 0.324 is 0.001 x 18^2; by the exact factor it would be 0.324562 (W): 0.17 % lower.
    in_mmol = j_index(np.array(S10) / MG_DL_PER_MMOL_L, scale=PER_MMOL_L)

    assert in_mmol == pytest.approx(33.328036, abs=1e-5)
    assert pytest.approx(0.324562, abs=1e-6) == 0.001 * MG_DL_PER_MMOL_L**2


@pytest.mark.parametrize("mg_dl", [60, 240])
def test_half_and_double_the_reference_have_the_same_m_value(mg_dl: float) -> None:
    # Schlichtkrull, Munck, Jersild, Acta Med Scand 1965;177:95-102 (M), formula as in PMC3815489,
    # table (V2): |10 lg 2|^3 (W).
    assert m_value([mg_dl]).value == pytest.approx(27.279055, abs=1e-5)


def test_the_m_value_of_the_sample_set_with_and_without_its_range() -> None:
    # W: 4.243887 + 155 / 20; with 25 readings or more the range is left out (25 M, 24 V2).
    few, many = m_value(S10), m_value(S10 * 3)

    assert few.value == pytest.approx(4.243887 + 155 / 20, abs=1e-5)
    assert few.value == pytest.approx(11.993887, abs=1e-5)
    assert (few.with_range, few.reference_mg_dl) == (True, 120)
    assert many.value == pytest.approx(4.243887, abs=1e-5)
    assert many.with_range is False
    assert NO_RANGE_FROM == 25


def test_another_reference_gives_quite_another_m_value() -> None:
    # Review abstract (V): M80, M90, M100 and M120 differ; the value with 100 and no range (W).
    found = m_value(S10 * 3, reference_mg_dl=100)

    assert found.value == pytest.approx(8.515640, abs=1e-5)
    assert found.reference_mg_dl == 100


@pytest.mark.parametrize(
    ("mmol_l", "weight"),
    # Hill et al., Diabet Med 2007;24:753-758 (abstract V, formula V2; cap of 50 M); values W.
    [(5, 0.008448), (10, 10.880000), (3, 11.067287), (2, 50), (15, 22.568803), (4.918481, 0)],
)
def test_the_grade_of_single_results(mmol_l: float, weight: float) -> None:
    assert grade_weights([mmol_l])[0] == pytest.approx(weight, abs=1e-5)


def test_the_grade_of_the_sample_set_and_where_it_comes_from() -> None:
    # Hill et al. report the mean and the shares of the sum (V2); cut points 3.9 and 7.8 (M); W.
    found = grade(S5)

    assert found.mean == pytest.approx(6.251045, abs=1e-5)
    assert median(grade_weights(S5).tolist()) == pytest.approx(5.180992, abs=1e-5)
    assert found.from_low == 0
    assert found.from_within == pytest.approx(0.215301, abs=1e-6)
    assert found.from_high == pytest.approx(0.784699, abs=1e-6)
