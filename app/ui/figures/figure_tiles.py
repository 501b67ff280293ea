"""The six figures that stand first: two averages, median, spread, low spells, swings of a day."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.domain.levels import LOW_BELOW, VERY_LOW_BELOW
from app.review.figure import Missing
from app.review.figures import Figures
from app.review.figures_shown import FiguresShown
from app.review.spells import LowSpells
from app.review.words import figure_words
from app.ui.controls import FigureTile
from app.ui.figures.tiles import Tiles
from app.ui.figures.words import many, mean_text, percent_text, tr
from app.ui.words import count_words, figure_text, number_words


class FigureTiles(Tiles):
    """The tiles; each says its figure with n and unit, or what is missing for it.

    `keys` names the help text of each, in their order.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        named = {
            "mean": tr("Plain average"),
            "evened": tr("Evened average"),
            "median": tr("Median"),
            "sd": tr("Spread (SD)"),
            "low_spells": tr("Low spells"),
            "mage": tr("Swings (MAGE)"),
        }
        self.keys = tuple(named)
        tiles = [FigureTile(name) for name in named.values()]
        super().__init__(tiles, parent)
        self.mean, self.evened, self.median, self.spread, self.spells, self.mage = tiles

    def show_figures(self, shown: FiguresShown) -> None:
        """Show the figures of a period."""
        found = shown.figures
        self._show_mean(found)
        self._show_evened(found)
        self._show_median(found)
        self._show_spread(found)
        self._show_spells(shown.spells, found)
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

    def _show_spells(self, spells: LowSpells, found: Figures) -> None:
        unit = found.unit
        low = number_words(figure_words(LOW_BELOW.in_unit(unit), unit))
        far = number_words(figure_words(VERY_LOW_BELOW.in_unit(unit), unit))
        lines = []
        if spells.count:
            how = [
                tr("{done} of {n} rechecked").format(
                    done=count_words(spells.rechecked), n=count_words(spells.count)
                )
            ]
            if spells.not_rechecked:
                how.append(many(spells.not_rechecked, *_NO_RECHECK))
            if spells.open:
                how.append(tr("one open now"))
            lines.append(", ".join(how))
        tail = (
            []
            if not spells.count
            else [many(spells.very_low, "{n} went below {far}", "{n} went below {far}", far=far)]
        )
        if spells.in_doubt:
            tail.append(many(spells.in_doubt, "{n} in doubt, kept", "{n} in doubt, kept"))
        if spells.set_aside:
            tail.append(many(spells.set_aside, "{n} low set aside", "{n} lows set aside"))
        lines.append(", ".join([*tail, _n(spells.n)]))
        self.spells.set_figure(
            count_words(spells.count),
            tr("below {low} {unit}").format(low=low, unit=unit),
            lines,
        )

    def _show_mage(self, found: Figures) -> None:
        excursions = found.excursions
        if isinstance(excursions.value, Missing):
            self.mage.set_missing(_sentence(excursions.value), _n(found.n))
            return
        days = many(excursions.days, "mean of {n} day", "mean of {n} days")
        caution = tr("made for continuous recording: a rough figure here")
        self.mage.set_figure(figure_text(excursions.value, found.unit), found.unit, [days, caution])


_NO_RECHECK = ("{n} with no recheck written", "{n} with no recheck written")


def _n(n: int) -> str:
    return tr("n {n}").format(n=count_words(n))


def _sentence(missing: Missing) -> str:
    return missing.why[:1].upper() + missing.why[1:]
