"""Small widgets in the look of the diary, for every page; pages import them from here.

Each is imported when it is first asked for: the shell needs two of them before it is painted.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.ui.controls.answer import Answer as Answer
    from app.ui.controls.answer import ToAnswer as ToAnswer
    from app.ui.controls.buttons import Button as Button
    from app.ui.controls.buttons import FlatButton as FlatButton
    from app.ui.controls.checks import CheckBox as CheckBox
    from app.ui.controls.checks import RadioButton as RadioButton
    from app.ui.controls.choice import Choice as Choice
    from app.ui.controls.dates import DateField as DateField
    from app.ui.controls.dates import TimeField as TimeField
    from app.ui.controls.elided import ElidedLabel as ElidedLabel
    from app.ui.controls.fields import Field as Field
    from app.ui.controls.fields import FieldNote as FieldNote
    from app.ui.controls.fields import LineField as LineField
    from app.ui.controls.flow import FlowRow as FlowRow
    from app.ui.controls.fold_line import FoldLine as FoldLine
    from app.ui.controls.folding import FoldingRow as FoldingRow
    from app.ui.controls.from_to import FromTo as FromTo
    from app.ui.controls.head import PageHead as PageHead
    from app.ui.controls.keys import KeyHint as KeyHint
    from app.ui.controls.labels import Hairline as Hairline
    from app.ui.controls.labels import Label as Label
    from app.ui.controls.labels import TextColumn as TextColumn
    from app.ui.controls.mark_sign import MarkSign as MarkSign
    from app.ui.controls.notice import Notice as Notice
    from app.ui.controls.section import SectionTitle as SectionTitle
    from app.ui.controls.segments import Segment as Segment
    from app.ui.controls.segments import Segments as Segments
    from app.ui.controls.tabs import PageTabs as PageTabs
    from app.ui.controls.tile import FigureTile as FigureTile
    from app.ui.controls.wrapping import WrapLabel as WrapLabel

_MODULES = {
    "answer": "Answer ToAnswer",
    "buttons": "Button FlatButton",
    "checks": "CheckBox RadioButton",
    "choice": "Choice",
    "dates": "DateField TimeField",
    "elided": "ElidedLabel",
    "fields": "Field FieldNote LineField",
    "flow": "FlowRow",
    "fold_line": "FoldLine",
    "folding": "FoldingRow",
    "from_to": "FromTo",
    "head": "PageHead",
    "keys": "KeyHint",
    "labels": "Hairline Label TextColumn",
    "mark_sign": "MarkSign",
    "notice": "Notice",
    "section": "SectionTitle",
    "segments": "Segment Segments",
    "tabs": "PageTabs",
    "tile": "FigureTile",
    "wrapping": "WrapLabel",
}
_WHERE = {name: module for module, names in _MODULES.items() for name in names.split()}


if not TYPE_CHECKING:  # a checker would take every name for one of ours

    def __getattr__(name: str) -> object:
        """Import the module of a name (PEP 562)."""
        if name not in _WHERE:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        return getattr(import_module(f"{__name__}.{_WHERE[name]}"), name)
