"""The figures of the averages: two averages, median, spread, swings of a day."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.review.figure import Missing
from app.review.figures import Figures
from app.review.figures_shown import FiguresShown
from app.ui.controls import FigureTile
from app.ui.figures.helped import HelpButton, OneStop
from app.ui.figures.tiles import Tiles
from app.ui.figures.words import many, mean_text, percent_text, tr
from app.ui.words import count_words, figure_text


class FigureTiles(Tiles):
    """The tiles; each says its figure with n and unit, or what is missing for it.

    `keys` names the help text of each, in their order. Signals: help_asked(str).
    """

    help_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        named = {
            "mean": tr("Plain average"),
            "evened": tr("Evened average"),
            "median": tr("Median"),
            "sd": tr("Spread (SD)"),
            "mage": tr("Swings (MAGE)"),
        }
        self.keys = tuple(named)
        buttons = [HelpButton(key) for key in named]
        tiles = [
            FigureTile(name, beside=button)
            for name, button in zip(named.values(), buttons, strict=True)
        ]
        super().__init__(tiles, parent)
        for button in buttons:
            button.help_asked.connect(self.help_asked)
        OneStop(buttons, self)
        self.mean, self.evened, self.median, self.spread, self.mage = tiles

    def show_figures(self, shown: FiguresShown) -> None:
        """Show the figures of a period."""
        found = shown.figures
        self._show_mean(found)
        self._show_evened(found)
        self._show_median(found)
        self._show_spread(found)
        self._show_mage(found)

    def _show_mean(self, found: Figures) -> None:
        n = _n(found.n)
        if isinstance(found.mean, Missing):
            self.mean.set_missing(_sentence(found.mean), n)
            return
        unit, lines = found.unit, []
        if found.mean.low is not None and found.mean.high is not None:
            lines.append(
                tr("95 %: about {low} to {high}").format(
                    low=figure_text(found.mean.low, unit), high=figure_text(found.mean.high, unit)
                )
            )
        elif found.mean.value is None:
            lines.append(tr("a bound: results lie off the meter's scale"))
        else:
            lines.append(tr("no interval from fewer than 5 days"))
        days = many(found.days_with_readings, "{n} day", "{n} days")
        lines.append(tr("{n} on {days}").format(n=n, days=days))
        self.mean.set_figure(mean_text(found.mean, unit), unit, lines)

    def _show_evened(self, found: Figures) -> None:
        n = _n(found.n)
        if isinstance(found.evened, Missing):
            self.evened.set_missing(_sentence(found.evened), n)
            return
        lines = [
            tr("{slots} of 7 slots, equal weight").format(
                slots=count_words(len(found.evened.slots))
            ),
            tr("thinnest n {least}; {outside}").format(
                least=count_words(found.evened.smallest_n),
                outside=many(
                    found.evened.unmarked,
                    "night and {n} unmarked left out",
                    "night and {n} unmarked left out",
                )
                if found.evened.unmarked
                else tr("night left out"),
            ),
        ]
        self.evened.set_figure(mean_text(found.evened, found.unit), found.unit, lines)

    def _show_median(self, found: Figures) -> None:
        n, unit, quartiles = _n(found.n), found.unit, found.quartiles
        if isinstance(quartiles.median, Missing):
            self.median.set_missing(_sentence(quartiles.median), n)
            return
        if isinstance(quartiles.q1, Missing) or isinstance(quartiles.q3, Missing):
            gap = quartiles.q1 if isinstance(quartiles.q1, Missing) else quartiles.q3
            half = tr("middle half: {why}").format(why=getattr(gap, "why", ""))
        else:
            half = tr("middle half {low} to {high}").format(
                low=figure_text(quartiles.q1, unit), high=figure_text(quartiles.q3, unit)
            )
        ends = tr("lowest {low}, highest {high}").format(
            low=figure_text(quartiles.lowest, unit), high=figure_text(quartiles.highest, unit)
        )
        self.median.set_figure(figure_text(quartiles.median, unit), unit, [half, f"{n}, {ends}"])

    def _show_spread(self, found: Figures) -> None:
        n, spread = _n(found.n), found.spread
        if isinstance(spread.sd, Missing):
            self.spread.set_missing(_sentence(spread.sd), n)
            return
        within = percent_text(spread.within_day_cv)
        if not within and isinstance(spread.within_day_cv, Missing):
            within = tr("not shown, {why}").format(why=spread.within_day_cv.why)
        cv = tr("CV {cv}, within days {within}").format(cv=percent_text(spread.cv), within=within)
        all_together = tr("{n}, all marks together").format(n=n)
        if spread.off_scale_left_out:
            all_together += "; " + many(
                spread.off_scale_left_out,
                "{n} off the scale left out",
                "{n} off the scale left out",
            )
        self.spread.set_figure(figure_text(spread.sd, found.unit), found.unit, [cv, all_together])

    def _show_mage(self, found: Figures) -> None:
        excursions = found.excursions
        if isinstance(excursions.value, Missing):
            self.mage.set_missing(_sentence(excursions.value), _n(found.n))
            return
        days = many(excursions.days, "mean of {n} day", "mean of {n} days")
        caution = tr("made for continuous recording: a rough figure here")
        self.mage.set_figure(figure_text(excursions.value, found.unit), found.unit, [days, caution])


def _n(n: int) -> str:
    return tr("n {n}").format(n=count_words(n))


def _sentence(missing: Missing) -> str:
    return missing.why[:1].upper() + missing.why[1:]
