"""The hand-over card as a web page: headings, the family's texts, and the empty grid as a table."""

from __future__ import annotations

from html import escape

from app.look.tokens import LIGHT
from app.report.card_said import CardText, card_said, title_of_card
from app.report.words import tr
from app.review.hand_over import HandOverCard

_STYLE = (
    "body{font-family:sans-serif;max-width:60em;margin:2em auto;line-height:1.4;"
    f"color:{LIGHT.ink}}}"
    "table{border-collapse:collapse;width:100%}"
    f"th,td{{text-align:left;padding:.3em .5em;border:1px solid {LIGHT.edge}}}"
    "td{height:2.2em}caption{text-align:left;padding:.4em 0}"
)


def card_page(card: HandOverCard, *, language: str = "en") -> str:
    """The whole card as HTML 5 that needs nothing else: no script, no font, no picture."""
    said = card_said(card)
    parts = "\n".join(_section(part) for part in said.parts)
    heads = "".join(
        f'<th scope="col">{escape(f"{over} {name}".strip())}</th>' for over, name in said.slots
    )
    rows = "\n".join(
        f'<tr><th scope="row">{escape(day)}</th>{"<td></td>" * len(said.slots)}</tr>'
        for day in said.days
    )
    blanks = "".join(f"<p>{escape(each)}: ____________</p>" for each in said.fill_in)
    caution = "".join(f"<p>{each}</p>" for each in said.caution)
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(title_of_card(card))}</title>\n<style>{_STYLE}</style>\n</head>\n"
        f"<body>\n<main>\n<h1>{escape(said.name)}</h1>\n"
        f"<p><strong>{escape(said.title)}</strong> · {escape(said.unit)}</p>\n{parts}\n"
        f"<section>\n<h2>{escape(tr('To fill in'))}</h2>\n{blanks}\n"
        f"<table>\n<caption>{escape(said.grid)}</caption>\n"
        f'<thead><tr><th scope="col">{escape(tr("day"))}</th>{heads}</tr></thead>\n'
        f"<tbody>\n{rows}\n</tbody>\n</table>\n</section>\n"
        f"<section>\n<h2>{escape(tr('To know'))}</h2>\n{caution}\n</section>\n"
        f"<p><small>{escape(said.foot)}</small></p>\n</main>\n</body>\n</html>\n"
    )


def _section(part: CardText) -> str:
    note = f" <small>{escape(part.note)}</small>" if part.note else ""
    paragraphs = "".join(f"<p>{each}</p>" for each in part.paragraphs)
    return f"<section>\n<h2>{escape(part.title)}{note}</h2>\n{paragraphs}\n</section>"
