"""How each memory copy and each sheet of paper looks as a text file: invented, all different."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Line:
    """What one line of a file says, whatever its form."""

    number: int
    shown: datetime
    value: str
    code: str = ""


@dataclass(frozen=True, slots=True)
class Form:
    """A form of file: its heading, what stands between the fields, and the fields of a line.

    `recipe` names the recipe file, without its ending, by which the diary reads this form.
    """

    recipe: str
    heading: tuple[str, ...]
    fields: Callable[[Line], tuple[str, ...]]
    between: str = ","

    def text(self, lines: Iterable[Line]) -> str:
        """The whole file; no field of ours holds a quote, a line break or what stands between."""
        rows = [self.heading, *(self.fields(line) for line in lines)]
        return "".join(self.between.join(row) + "\n" for row in rows)


def _half_day(shown: datetime) -> str:
    """Twelve-hour time in English, whatever the locale: 06:19 AM."""
    return f"{shown.hour % 12 or 12:02}:{shown:%M} {'AM' if shown.hour < 12 else 'PM'}"


BLUE = Form(
    "tilde-blue",
    ("No", "Date", "Time", "mmol/L", "Sign"),
    lambda line: (
        str(line.number),
        f"{line.shown:%d.%m.%Y}",
        f"{line.shown:%H:%M}",
        line.value.replace(".", ","),
        line.code,
    ),
    between=";",
)
GREY = Form(
    "tilde-grey",
    ("Date", "Time", "Result (mmol/L)", "When"),
    lambda line: (f"{line.shown:%Y-%m-%d}", f"{line.shown:%H:%M}", line.value, line.code),
)
SPARE = Form(
    "tilde-spare",
    ("Clock", "Value mmol/L", "Key"),
    lambda line: (f"{line.shown:%d/%m/%Y %H:%M}", line.value, line.code),
    between="\t",
)
SCHOOL_SHEET = Form(
    "tilde-school",
    ("Day", "Time", "Glucose mmol/L"),
    lambda line: (f"{line.shown:%d/%m/%Y}", f"{line.shown:%H:%M}", line.value),
)
BRAMS_SHEET = Form(
    "tilde-bram",
    ("Day", "Hour", "Number (mmol/L)"),
    lambda line: (f"{line.shown:%d-%m-%Y}", f"{line.shown:%H.%M}", line.value),
)
ENVELOPE = Form(
    "tilde-ketones",
    ("Day", "Time", "What", "mmol/L"),
    lambda line: (f"{line.shown:%d/%m/%Y}", f"{line.shown:%H:%M}", "ketones", line.value),
)
BLACK = Form(
    "corwin-black",
    ("Record", "Date", "Time", "mg/dL", "Mark"),
    lambda line: (
        str(line.number),
        f"{line.shown:%m/%d/%Y}",
        _half_day(line.shown),
        line.value,
        line.code,
    ),
)
NOTEBOOK = Form(
    "corwin-paper",
    ("Date", "Time", "mg/dL", "When"),
    lambda line: (f"{line.shown:%m/%d/%Y}", _half_day(line.shown), line.value, line.code),
)
