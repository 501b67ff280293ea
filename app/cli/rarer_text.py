"""The rarer figures as lines of text, below the usual ones."""

from __future__ import annotations

from collections.abc import Iterator

from app.cli.words import plural
from app.domain.glucose import Unit
from app.domain.numerals import half_up
from app.review.figure import Figure, Missing, OffScale
from app.review.rarer import Rarer
from app.review.words import figure_words, percent


def rarer_lines(found: Rarer, unit: Unit) -> Iterator[str]:
    """Say each rarer figure, or what is missing for it; `explain NAME` says what it means."""
    yield ""
    yield f"Rarer figures, n {found.n}; what each means: explain NAME"
    if found.off_scale_left_out:
        yield f"  {found.off_scale_left_out} off the scale left out of J-index and M-value"
    daily, m, concern = found.modd, found.m_value, found.grade
    yield _line("IQR", _glucose(found.iqr, unit))
    yield _line(
        "MODD",
        _with(_glucose(daily.value, unit), daily.value, f"from {plural(daily.pairs, 'pair')}"),
    )
    reference = f"against {m.reference_mg_dl:g} mg/dL, " + (
        "with the range" if m.with_range else "without the range"
    )
    yield _line("J-index", _plain(found.j_index))
    yield _line("M-value", _with(_plain(m.value), m.value, reference))
    yield _line("GRADE", _plain(concern.value))
    shares = (concern.from_low, concern.from_within, concern.from_high)
    if None not in shares:
        low, within, high = (percent(share) for share in shares if share is not None)
        yield f"  of it from lows {low}, from the middle {within}, from highs {high}"
    yield _line("LBGI", _plain(found.lbgi))
    yield _line("HBGI", _plain(found.hbgi))


def _line(name: str, text: str) -> str:
    return f"{name:<22} {text}"


def _glucose(figure: Figure, unit: Unit) -> str:
    said = figure_words(figure, unit)
    return said if isinstance(figure, Missing) else f"{said} {unit}"


def _plain(figure: Figure) -> str:
    """A figure without a unit, to one decimal."""
    if isinstance(figure, Missing):
        return f"not shown: {figure.why}"
    if isinstance(figure, OffScale):
        raise TypeError("an index is never off the scale")
    return str(half_up(figure, 1))


def _with(said: str, figure: Figure, more: str) -> str:
    return said if isinstance(figure, Missing) else f"{said} ({more})"
