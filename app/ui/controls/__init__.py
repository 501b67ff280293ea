"""Small widgets in the look of the diary, for every page; pages import them from here."""

from app.ui.controls.answer import Answer, ToAnswer
from app.ui.controls.buttons import Button, FlatButton
from app.ui.controls.checks import CheckBox, RadioButton
from app.ui.controls.choice import Choice
from app.ui.controls.dates import DateField, TimeField
from app.ui.controls.elided import ElidedLabel
from app.ui.controls.fields import Field, FieldNote, LineField
from app.ui.controls.folding import FoldingRow
from app.ui.controls.head import PageHead
from app.ui.controls.keys import KeyHint
from app.ui.controls.labels import Hairline, Label, TextColumn
from app.ui.controls.mark_sign import MarkSign
from app.ui.controls.notice import Notice
from app.ui.controls.section import SectionTitle
from app.ui.controls.segments import Segment, Segments, periods
from app.ui.controls.tabs import PageTabs
from app.ui.controls.tile import FigureTile

__all__ = [
    "Answer",
    "Button",
    "CheckBox",
    "Choice",
    "DateField",
    "ElidedLabel",
    "Field",
    "FieldNote",
    "FigureTile",
    "FlatButton",
    "FoldingRow",
    "Hairline",
    "KeyHint",
    "Label",
    "LineField",
    "MarkSign",
    "Notice",
    "PageHead",
    "PageTabs",
    "RadioButton",
    "SectionTitle",
    "Segment",
    "Segments",
    "TextColumn",
    "TimeField",
    "ToAnswer",
    "periods",
]
