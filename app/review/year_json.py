"""The year as plain JSON values: unrounded, in the person's unit, words where no number is."""

from __future__ import annotations

from typing import Any

from app.review.figure import Figure, Missing, OffScale
from app.review.two_sides_json import period_as_json
from app.review.year import YearMonth, YearView
from app.review.year_cells import YearCell


def year_as_json(found: YearView) -> dict[str, Any]:
    """Months by slot, and what lies beside them."""
    return {
        "person": found.person.name,
        "unit": found.unit.value,
        "period": period_as_json(found.period),
        "n": found.n,
        "months": [_month(month) for month in found.months],
        "beside": [
            {
                "kind": mark.other.kind,
                "first": mark.other.first.isoformat(),
                "last": mark.other.last.isoformat(),
                "words": mark.other.words,
                "apart": mark.other.is_apart,
            }
            for mark in found.beside
        ],
        "left_out": found.left_out,
    }


def _month(month: YearMonth) -> dict[str, Any]:
    return {
        "month": f"{month.first:%Y-%m}",
        "gap": month.is_gap,
        "n": month.n,
        "days": month.days,
        "lows": month.lows,
        "highs": month.highs,
        "unmarked": month.unmarked,
        "elsewhere": month.elsewhere,
        "slots": {cell.mark.value: _cell(cell) for cell in month.cells if cell.n},
    }


def _cell(cell: YearCell) -> dict[str, Any]:
    return {
        "n": cell.n,
        "days": cell.days,
        "median": _figure(cell.median),
        "q1": cell.box[0] if cell.box else None,
        "q3": cell.box[1] if cell.box else None,
        "lows": cell.lows,
        "very_lows": cell.far_lows,
        "highs": cell.highs,
        "very_highs": cell.far_highs,
        "in_doubt": cell.in_doubt,
        "goal": [cell.goal_low, cell.goal_high],
    }


def _figure(figure: Figure) -> Any:
    if isinstance(figure, Missing):
        return {"missing": figure.why}
    return {figure.side: figure.limit} if isinstance(figure, OffScale) else figure
