"""The counts that stand before all others: needed help, two levels of lows, spells, the night."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.domain.levels import Level
from app.review.day_spells import SpellEnd
from app.review.lows import Lows
from app.review.words import level_words
from app.ui.controls import FigureTile
from app.ui.figures.helped import HelpButton, OneStop
from app.ui.figures.tiles import Tiles
from app.ui.figures.words import many, tr
from app.ui.words import count_words, minute_words, number_words

KEYS = ("help_needed", "levels_of_lows", "levels_of_lows", "low_spells", "night_lows")


class LowTiles(Tiles):
    """Each count with what was tested for it. Signals: help_asked(str)."""

    help_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        buttons = [HelpButton(key) for key in KEYS]
        names = (tr("Help was needed"), "", "", tr("Low spells"), tr("Lows in the night"))
        tiles = [
            FigureTile(name, beside=button) for name, button in zip(names, buttons, strict=True)
        ]
        super().__init__(tiles, parent)
        for button in buttons:
            button.help_asked.connect(self.help_asked)
        OneStop(buttons, self)
        self.help, self.level_2, self.level_1, self.spells, self.night = tiles

    def show_lows(self, found: Lows) -> None:
        """Show the counts of a period; words where nothing was tested."""
        self._show_help(found)
        for tile, level, count, without, words in (
            (
                self.level_2,
                Level.VERY_LOW,
                found.counts.level_2,
                found.without_rechecks.level_2,
                tr("Level 2: {span}"),
            ),
            (
                self.level_1,
                Level.LOW,
                found.counts.level_1,
                found.without_rechecks.level_1,
                tr("Level 1: {span}"),
            ),
        ):
            tile.set_name(words.format(span=number_words(level_words(level, found.unit))))
            if not found.counts.n:
                tile.set_missing(tr("Nothing was tested"), tr("n 0"))
                continue
            lines = [_without(found, without)]
            if level is Level.LOW and found.in_doubt:
                lines.append(
                    many(found.in_doubt, "{n} low in doubt, kept", "{n} lows in doubt, kept")
                )
            unit = tr("of {n}").format(n=count_words(found.counts.n))
            tile.set_figure(count_words(count), unit, [line for line in lines if line])
        self._show_spells(found)
        self._show_night(found)

    def _show_help(self, found: Lows) -> None:
        if not found.helps:
            self.help.set_missing(tr("None written down"), tr("level 3, whatever the number"))
            return
        lines = [tr("level 3, whatever the number")]
        self.help.set_figure(count_words(len(found.helps)), tr("written down"), lines)

    def _show_spells(self, found: Lows) -> None:
        if not found.counts.n:
            self.spells.set_missing(tr("Nothing was tested"), tr("n 0"))
            return
        if not found.sums.n:
            self.spells.set_missing(
                tr("None seen"), tr("n {n}").format(n=count_words(found.counts.n))
            )
            return
        how = [
            tr("{done} of {n} rechecked").format(
                done=count_words(found.ended(SpellEnd.CLOSED)), n=count_words(found.sums.n)
            )
        ]
        bare, still = found.ended(SpellEnd.NO_RECHECK), found.ended(SpellEnd.OPEN)
        rest = many(bare, "{n} with no recheck written", "{n} with no recheck written")
        if still:
            how.append(tr("one open now"))
        lines = [", ".join(how), rest if bare else ""]
        self.spells.set_figure(
            count_words(found.sums.n),
            tr("below {low}").format(low=number_words(line_of(found).partition(" ")[0])),
            [line for line in lines if line],
        )

    def _show_night(self, found: Lows) -> None:
        clock = found.person.clock
        hours = (
            tr("{start} to {end}")
            .format(
                start=minute_words(found.night[0], clock), end=minute_words(found.night[1], clock)
            )
            .replace(" ", "\u00a0")
        )  # never parted at a line's end
        tested = tr("{tested} of {nights} nights tested, {hours}").format(
            tested=count_words(found.nights_tested), nights=count_words(found.nights), hours=hours
        )
        unseen = tr("a low in another night would not be seen")
        if not found.nights_tested:
            self.night.set_missing(
                tr("No night was tested; a low would not be seen"),
                tr("{nights} nights, {hours}").format(
                    nights=count_words(found.nights), hours=hours
                ),
            )
            return
        all_of_them = found.nights_tested == found.nights
        lines = [tested, "" if all_of_them else unseen]
        self.night.set_figure(
            count_words(found.night_lows),
            many(found.night_lows, "low", "lows"),
            [line for line in lines if line],
        )


def line_of(found: Lows) -> str:
    """The low line in force when the period begins, with its unit: "3.9 mmol/L"."""
    low = found.lines[0].low.in_unit(found.unit)
    return f"{low:.{found.unit.places}f} {found.unit}"


def _without(found: Lows, lows: int) -> str:
    rechecks = found.counts.n - found.without_rechecks.n
    if not rechecks:
        return tr("no rechecks among them")
    return many(
        rechecks,
        "without {n} recheck {lows} of {rest}",
        "without {n} rechecks {lows} of {rest}",
        lows=count_words(lows),
        rest=count_words(found.without_rechecks.n),
    )
