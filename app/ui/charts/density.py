"""Thousands of readings as density: how many in each cell, in the colour of its farthest level."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor

from app.look.tokens import Tokens
from app.review.density import Density
from app.review.marks_drawn import LEVELS
from app.ui.charts.layers import Layer

_FAINTEST = 0.25  # of full strength: a single reading must still be seen


class DensityImage(pg.ImageItem):  # type: ignore[misc]  # pyqtgraph ships no types
    """Cells of time and glucose, the fuller the stronger."""

    def __init__(self) -> None:
        super().__init__(axisOrder="row-major")
        self.setZValue(Layer.DENSITY)
        self.setVisible(False)

    def show_density(self, density: Density | None, tokens: Tokens) -> None:
        """Draw it; None takes it away."""
        self.setVisible(density is not None)
        if density is None:
            self.clear()
            return
        inks = [QColor(tokens.level_colour(level)) for level in LEVELS]
        colours = np.array([(q.red(), q.green(), q.blue()) for q in inks], dtype=np.uint8)
        count = density.count
        # By the root: a cell with a hundredth of the readings keeps a tenth of the strength.
        strength = _FAINTEST + (1 - _FAINTEST) * np.sqrt(count / max(int(count.max()), 1))
        cells = np.empty((*count.shape, 4), dtype=np.uint8)
        cells[..., :3] = colours[density.level]
        cells[..., 3] = np.where(count > 0, 255 * strength, 0)
        self.setImage(cells, autoLevels=False, levels=(0, 255))
        self.setRect(
            QRectF(
                density.left,
                density.bottom,
                density.right - density.left,
                density.top - density.bottom,
            )
        )
