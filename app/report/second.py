"""The second sheet on paper: its tables flow over as many pages as they need, heads repeated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt

from app.report.paper import BODY_PT, FIGURE_PT, MM, SMALL_PT, Paper
from app.report.second_said import SecondSaid
from app.report.table import Cell, Table, TableRow
from app.report.words import tr

_MARGIN, _TOP, _BOTTOM = 12.0, 10.0, 9.0  # mm
_TABLE_PT = 6.9
_ROW_GAP, _CELL_GAP, _TABLE_GAP = 0.7, 1.2, 5.0  # mm
_Lines = tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class _Laid:
    """A row whose cells are broken into lines, and how high it is."""

    row: TableRow
    cells: tuple[_Lines, ...]
    height: float


@dataclass(frozen=True, slots=True)
class _Block:
    """A part of a table on one page: its first block has the title, all have the heads."""

    table: Table
    first: bool
    top: float
    rows: tuple[_Laid, ...]


Pages = tuple[tuple[_Block, ...], ...]


def lay_out(paper: Paper, said: SecondSaid) -> Pages:
    """Break the tables into pages; no name of a month stands alone at the foot of one."""
    top, bottom = _body(paper)
    pages: list[list[_Block]] = [[]]
    y = top
    for table in (said.readings, said.lows):
        rows = list(_laid_rows(paper, table, bottom - top - _head_height(paper, table, first=True)))
        first = True
        while first or rows:
            head = _head_height(paper, table, first=first)
            taken = _fitting(rows, bottom - y - head)
            if pages[-1] and not taken and rows:
                pages.append([])  # only its head would fit here
                y = top
                continue
            block = _Block(table, first, y, tuple(rows[:taken]))
            pages[-1].append(block)
            rows = rows[taken:]
            y += head + sum(each.height for each in block.rows) + _TABLE_GAP * MM
            first = False
            if rows:
                pages.append([])
                y = top
    return tuple(tuple(each) for each in pages)


def paint_second(paper: Paper, said: SecondSaid, blocks: Sequence[_Block], *, page_of: str) -> None:
    """Paint one page of the second sheet."""
    left, width = _MARGIN * MM, paper.width - 2 * _MARGIN * MM
    _paint_head(paper, said, left, width)
    for block in blocks:
        y = _paint_heads(paper, block, left, width)
        for laid in block.rows:
            _paint_row(paper, block.table, laid, left, y, width)
            y += laid.height
    high = paper.line_height(SMALL_PT) * 1.15
    foot = QRectF(left, paper.height - _BOTTOM * MM - high, width, high)
    paper.rule(left, foot.top(), width, ink="line")
    wide = paper.text_width(page_of, SMALL_PT) + 4 * MM
    paper.write_fitting(foot.adjusted(0, 0, -wide, 0), said.foot, SMALL_PT, ink="ink2")
    last = foot.adjusted(width - wide, 0, 0, 0)
    paper.write(last, page_of, SMALL_PT, ink="ink2", side=Qt.AlignmentFlag.AlignRight)


def _body(paper: Paper) -> tuple[float, float]:
    """Where the tables may begin and must end."""
    head = paper.line_height(FIGURE_PT) + paper.line_height(SMALL_PT) + 2.5 * MM
    foot = paper.line_height(SMALL_PT) * 1.15 + 2 * MM
    return _TOP * MM + head, paper.height - _BOTTOM * MM - foot


def _paint_head(paper: Paper, said: SecondSaid, left: float, width: float) -> None:
    high = paper.line_height(FIGURE_PT)
    room = QRectF(left, _TOP * MM, width, high)
    wide = paper.text_width(said.period, FIGURE_PT - 2, bold=True)
    name = room.adjusted(0, 0, -wide - 4 * MM, 0)
    paper.write_fitting(name, said.name, FIGURE_PT, bold=True)
    paper.write(room, said.period, FIGURE_PT - 2, bold=True, side=Qt.AlignmentFlag.AlignRight)
    below = QRectF(left, room.bottom(), width, paper.line_height(SMALL_PT))
    paper.write(below, said.subtitle, SMALL_PT, ink="ink2")


def _head_height(paper: Paper, table: Table, *, first: bool) -> float:
    """How high the title and the heads of the columns are."""
    title = paper.line_height(BODY_PT) * 1.25 + 1.1 * MM
    note = paper.line_height(SMALL_PT) if first and table.note else 0.0
    if not table.rows:
        return title + note + paper.line_height(BODY_PT)
    rows = max(len(each) for each in _heads(paper, table))
    return title + note + rows * paper.line_height(_TABLE_PT) + 1.6 * MM


def _paint_heads(paper: Paper, block: _Block, left: float, width: float) -> float:
    """The title, what is to be known of the table, the heads; where the rows begin."""
    table, top = block.table, block.top
    y = paper.title(table.title, "" if block.first else tr("continued"), left, top, width)
    if block.first and table.note:
        high = paper.line_height(SMALL_PT)
        paper.write_fitting(QRectF(left, y, width, high), table.note, SMALL_PT, ink="ink2")
    bottom = top + _head_height(paper, table, first=block.first)
    if not table.rows:
        place = QRectF(left, bottom - paper.line_height(BODY_PT), width, paper.line_height(BODY_PT))
        paper.write(place, table.empty)
        return bottom
    line = paper.line_height(_TABLE_PT)
    for (x, wide), words in zip(_columns(table, left, width), _heads(paper, table), strict=True):
        for row, word in enumerate(reversed(words), 1):
            place = QRectF(x, bottom - MM - row * line, wide, line)
            paper.write_fitting(place, word, _TABLE_PT, bold=True)
    paper.rule(left, bottom - 0.6 * MM, width, ink="edge")
    return bottom


def _heads(paper: Paper, table: Table) -> list[tuple[str, ...]]:
    """The heads of the columns in lines; a long word is set a little smaller."""
    wides = [wide for _, wide in _columns(table, 0.0, paper.width - 2 * _MARGIN * MM)]
    return [
        tuple(paper.wrapped(head, _TABLE_PT, wide, bold=True, cut=False))
        for head, wide in zip(table.heads, wides, strict=True)
    ]


def _columns(table: Table, left: float, width: float) -> list[tuple[float, float]]:
    """Where each column begins, and how wide its words may be."""
    whole = sum(table.shares)
    found, x = [], left
    for share in table.shares:
        wide = width * share / whole
        found.append((x, wide - _CELL_GAP * MM))
        x += wide
    return found


def _laid_rows(paper: Paper, table: Table, room: float) -> Iterator[_Laid]:
    """Every row in lines; one that is higher than a whole page goes on in the next."""
    width = paper.width - 2 * _MARGIN * MM
    columns = _columns(table, 0.0, width)
    line = paper.line_height(_TABLE_PT)
    most = max(1, int((room - _ROW_GAP * MM) / line))
    for row in table.rows:
        wides = [width] if row.spans else [wide for _, wide in columns]
        cells = [_broken(paper, cell, wide) for cell, wide in zip(row.cells, wides, strict=True)]
        deepest = max(1, *(len(each) for each in cells))
        for at in range(0, deepest, most):
            part = tuple(each[at : at + most] for each in cells)
            deep = max(1, *(len(each) for each in part))
            above = 0.8 * MM if row.heading else 0.0
            yield _Laid(row, part, deep * line + _ROW_GAP * MM + above)


def _broken(paper: Paper, cell: Cell, width: float) -> _Lines:
    """The lines of a cell; a value is never broken: it is set a little smaller."""
    found: list[tuple[str, bool]] = []
    for line in cell:
        texts: tuple[str, ...] = (line.text,)
        if not line.whole:
            texts = paper.wrapped(line.text, _TABLE_PT, width, bold=line.bold)
        found += [(text, line.bold) for text in texts]
    return tuple(found)


def _fitting(rows: Sequence[_Laid], room: float) -> int:
    """How many rows have their place; the name of a month never comes last."""
    taken, used = 0, 0.0
    while taken < len(rows) and used + rows[taken].height <= room:
        used += rows[taken].height
        taken += 1
    while 0 < taken < len(rows) and rows[taken - 1].row.heading:
        taken -= 1
    return taken


def _paint_row(
    paper: Paper, table: Table, laid: _Laid, left: float, top: float, width: float
) -> None:
    line = paper.line_height(_TABLE_PT)
    columns = [(left, width)] if laid.row.spans else _columns(table, left, width)
    y = top + (0.8 * MM if laid.row.heading else 0.0)
    quiet = laid.row.spans and not laid.row.heading
    for (x, wide), lines in zip(columns, laid.cells, strict=True):
        for at, (text, bold) in enumerate(lines):
            place = QRectF(x, y + at * line, wide, line)
            paper.write_fitting(place, text, _TABLE_PT, bold=bold, ink="ink2" if quiet else "ink")
    paper.rule(left, top + laid.height - 0.2 * MM, width, ink="line")
