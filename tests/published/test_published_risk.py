"""LBGI and HBGI: the risk function's values, its construction, and worked records.

Kovatchev, Cox, Gonder-Frederick, Clarke, Diabetes Care 1997;20:1655-1658; constants from memory,
confirmed by solving the construction rules read in the group's appendix on the low index. Indices:
Kovatchev et al., Diabetes Care 1998;21:1870-1875 (from memory). Values worked with the constants.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import fsolve

from app.statistics.risk import EXPONENT, OFFSET, SCALE, risk_indices, symmetric_glucose
from app.statistics.values import FloatArray

S10 = [92, 118, 145, 187, 103, 231, 76, 160, 134, 112]  # mg/dL


@pytest.mark.parametrize(
    ("mg_dl", "symmetric", "risk"),
    [
        (70, -0.880636, 7.755206),
        (180, 0.879165, 7.729312),
        (54, -1.358726, 18.461365),
        (250, 1.497872, 22.436200),
    ],
)
def test_the_risk_of_the_usual_limits(mg_dl: float, symmetric: float, risk: float) -> None:
    found = symmetric_glucose([mg_dl])[0]

    assert found == pytest.approx(symmetric, abs=1e-5)
    assert 10 * found**2 == pytest.approx(risk, abs=1e-5)


def test_the_function_is_about_0_at_112_5_and_the_risk_about_100_at_20_and_600() -> None:
    # Published as exact; with the printed constants zero lies at 112.517385 and the ends at 100.04
    # and 99.95, so they are met to a tenth, not exactly.
    middle, low, high = symmetric_glucose([112.5, 20, 600])

    assert middle == pytest.approx(-0.000288, abs=1e-5)
    assert symmetric_glucose([112.517385])[0] == pytest.approx(0, abs=1e-6)
    assert 10 * low**2 == pytest.approx(100.041508, abs=1e-5)
    assert 10 * high**2 == pytest.approx(99.948051, abs=1e-5)
    assert (10 * low**2, 10 * high**2) == pytest.approx((100, 100), abs=0.1)


def test_the_constants_follow_from_how_the_function_was_built() -> None:
    # f(20) = -f(600), f(70) = -f(180), ends at minus and plus sqrt 10.
    def misfit(guess: FloatArray, /) -> list[float]:
        exponent, offset, scale = guess

        def f(glucose: float) -> float:
            return float(scale * (np.log(glucose) ** exponent - offset))

        return [f(20) + f(600), f(70) + f(180), f(600) - np.sqrt(10)]

    exponent, offset, scale = fsolve(misfit, (1.0, 5.0, 1.5))

    assert (exponent, offset, scale) == pytest.approx((1.08401, 5.38056, 1.50902), abs=1e-5)
    printed = [EXPONENT, OFFSET, SCALE]
    assert printed == pytest.approx([exponent, offset, scale], abs=5e-4)


@pytest.mark.parametrize(
    ("mg_dl", "lbgi", "hbgi"),
    [
        (S10, 0.698282, 3.494901),
        ([54, 70, 100, 180, 250], 5.339724, 6.033102),
        ([45, 62, 88, 110, 301], 8.594149, 6.836917),
    ],
)
def test_the_indices_of_worked_records(mg_dl: list[float], lbgi: float, hbgi: float) -> None:
    found = risk_indices(mg_dl)

    assert found.lbgi == pytest.approx(lbgi, abs=1e-5)
    assert found.hbgi == pytest.approx(hbgi, abs=1e-5)
    assert found.n == len(mg_dl)


def test_the_mmol_form_differs_by_up_to_one_percent_so_only_one_form_is_used() -> None:
    # The paper's second form, 1.794 ((ln G)^1.026 - 1.861), G in mmol/L; from memory, confirmed by
    # solving the construction rules with limits divided by 18.
    mmol = np.array([3.9, 10.0, 3.0, 33.3, 1.1])
    second = 1.794 * (np.log(mmol) ** 1.026 - 1.861)

    risks = 10 * second**2

    assert second[:2] == pytest.approx([-0.877398, 0.882759], abs=1e-5)
    assert risks == pytest.approx([7.698278, 7.792626, 18.574918, 99.781430, 100.983152], abs=1e-5)
    assert 10 * symmetric_glucose(mmol * 18.0156) ** 2 == pytest.approx(risks, rel=0.011)
