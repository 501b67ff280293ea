"""The page as a web page: headings, tables with headers, a language; for ears and for pasting.

The chart by slot stands there as a table, and that of the waking readings in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from app.look.tokens import LIGHT
from app.report.dates import title_of
from app.report.said import Part, Said, page_said
from app.report.second_said import second_said
from app.report.table import Line, Table
from app.report.words import tr
from app.review.second_sheet import SecondSheet
from app.review.visit import VisitPage

_STYLE = (
    "body{font-family:sans-serif;max-width:60em;margin:2em auto;line-height:1.4;"
    f"color:{LIGHT.ink}}}"
    "table{border-collapse:collapse}"
    "th,td{text-align:start;vertical-align:top;padding:.2em .8em .2em 0;"
    f"border-bottom:1px solid {LIGHT.line}}}"
    "caption{text-align:start;font-weight:bold}"
)


def web_page(page: VisitPage, *, language: str = "en", second: SecondSheet | None = None) -> str:
    """The whole page as HTML 5 that needs nothing else: no script, no font, no picture."""
    said = page_said(page)
    parts = [
        f"<h1>{said.name}</h1>",
        f"<p><strong>{escape(said.period)}</strong><br>{said.subtitle}</p>",
        f"<p>{said.lab}</p>" if said.lab else "",
        *(_section(part) for part in (said.tested, said.lows, said.highs)),
        _slots(said) if page.figures.n else "",
        f"<p><strong>{tr('Waking')}</strong>: {said.waking_note}</p>",
        _rows(tr("Rise over the meal"), (tr("meal"), tr("median rise · n")), said.rises),
        f"<p>{said.rises_note}</p>",
        _rows(tr("Night to waking"), (tr("morning"), tr("night → waking")), said.nights),
        f"<p>{said.nights_note}</p>",
        _rows(
            tr("Averages, side by side"),
            (tr("average"), f"{page.unit} ({page.second})", tr("of what")),
            said.averages,
        ),
        f"<p>{said.trust}</p>",
        _section(said.know),
        _asks(said.asks),
        *(_second_tables(second) if second is not None else ()),
        f"<p><small>{said.goals} {escape(said.foot)}</small></p>",
    ]
    body = "\n".join(part for part in parts if part)
    title = title_of(page.period, page.person)
    from_right = QGuiApplication.layoutDirection() is Qt.LayoutDirection.RightToLeft
    way = ' dir="rtl"' if from_right else ""
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(language)}"{way}>\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(title)}</title>\n<style>{_STYLE}</style>\n</head>\n"
        f"<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _section(part: Part) -> str:
    note = f" <small>{escape(part.note)}</small>" if part.note else ""
    paragraphs = "".join(f"<p>{each}</p>" for each in part.paragraphs)
    return f"<section>\n<h2>{escape(part.title)}{note}</h2>\n{paragraphs}\n</section>"


def _asks(part: Part) -> str:
    if not part.paragraphs:
        return _section(Part(part.title, part.note, (tr("Nothing is written down."),)))
    items = "".join(f"<li>{each}</li>" for each in part.paragraphs)
    return f"<section>\n<h2>{escape(part.title)}</h2>\n<ol>{items}</ol>\n</section>"


def _slots(said: Said) -> str:
    heads = (tr("slot"), tr("median"), "n", tr("below its goal"), tr("above its goal"), tr("mean"))
    rows = [
        (
            f"{each.over} {each.name}".strip(),
            each.median,
            each.n.removeprefix("n "),
            str(each.below),
            str(each.above),
            each.mean,
        )
        for each in said.slots
    ]
    return _table(tr("By slot"), heads, [[escape(cell) for cell in row] for row in rows])


def _second_tables(second: SecondSheet) -> tuple[str, ...]:
    """The tables of the second sheet; each reading stands in the column that it has on paper."""
    said = second_said(second)
    return tuple(_wide_table(table) for table in (said.readings, said.lows))


def _wide_table(table: Table) -> str:
    heading = f"<h2>{escape(table.title)}</h2>\n<p>{escape(table.note)}</p>"
    if not table.rows:
        return f"{heading}\n<p>{escape(table.empty)}</p>"
    lines = []
    for row in table.rows:
        first, *rest = ("<br>".join(map(_cell, each)) for each in row.cells)
        if row.spans:
            wide = f'colspan="{len(table.heads)}"'
            if row.heading:  # the rows of a month are a group with its name
                lines.append(f'</tbody>\n<tbody><tr><th scope="rowgroup" {wide}>{first}</th></tr>')
            else:
                lines.append(f"<tr><td {wide}>{first}</td></tr>")
            continue
        cells = "".join(f"<td>{each}</td>" for each in rest)
        lines.append(f'<tr><th scope="row">{first}</th>{cells}</tr>')
    head = "".join(f'<th scope="col">{escape(each)}</th>' for each in table.heads)
    body = "\n".join(lines).removeprefix("</tbody>\n<tbody>")
    return (
        f"{heading}\n<table>\n<caption>{escape(table.title)}</caption>\n"
        f"<thead><tr>{head}</tr></thead>\n<tbody>\n{body}\n</tbody>\n</table>"
    )


def _cell(line: Line) -> str:
    text = escape(line.text)
    return f"<strong>{text}</strong>" if line.bold else text


def _rows(caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    listed = [list(row) for row in rows]
    return _table(caption, heads, listed) if listed else f"<h2>{escape(caption)}</h2>"


def _table(caption: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    head = "".join(f'<th scope="col">{escape(each)}</th>' for each in heads)
    lines = []
    for first, *rest in rows:
        cells = "".join(f"<td>{cell}</td>" for cell in rest)
        lines.append(f'<tr><th scope="row">{first}</th>{cells}</tr>')
    body = "\n".join(lines)
    return (
        f"<table>\n<caption>{escape(caption)}</caption>\n<thead><tr>{head}</tr></thead>\n"
        f"<tbody>\n{body}\n</tbody>\n</table>"
    )
