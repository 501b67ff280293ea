"""A table as the second sheet has it: what paper and web page are both made from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Line:
    """One thing in a cell; on paper it begins a line of its own, and a `whole` one is not broken.

    The text is as typed.
    """

    text: str
    bold: bool = False
    whole: bool = False


Cell = tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class TableRow:
    """A row: a head and its cells, or with `spans` one text over the whole width."""

    cells: tuple[Cell, ...]
    spans: bool = False
    heading: bool = False

    @property
    def words(self) -> str:
        """All its words in one text."""
        return " ".join(line.text for cell in self.cells for line in cell)


@dataclass(frozen=True, slots=True)
class Table:
    """A table with its title, a quiet note, heads of columns, their shares of the width, rows."""

    title: str
    note: str
    heads: tuple[str, ...]
    shares: tuple[float, ...]
    rows: tuple[TableRow, ...]
    empty: str = ""  # what is said without rows


def spanning(text: str, *, heading: bool = False) -> TableRow:
    """A row of one text over the whole width."""
    return TableRow(((Line(text, bold=heading),),), spans=True, heading=heading)
