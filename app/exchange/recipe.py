"""How the files of one source are to be read: a recipe, as a record.

A recipe is a TOML file of our own. Only `name` is needed; what is left out is found in the file
where that is clear-cut, and asked where it is not.

```toml
name = "kitchen-meter"       # names the recipe, and the source unless `source` is given
source = "kitchen-meter"     # part of each row's key; keep it, and a file read twice adds nothing
encoding = "cp1252"          # else: byte order mark, strict UTF-8, UTF-16 by its zeros, or asked
delimiter = "semicolon"      # comma, semicolon, tab, bar (or the character itself)
skip = 2                     # lines before the header or the first row
header = true                # whether a line of column names comes first
unit = "mmol/L"              # or a unit column, or a unit in the column's name
date_format = "DD.MM.YYYY"   # YYYY YY MM M MMM (Jan) DD D; all else stands for itself
date_order = "dmy"           # instead of a format: dmy, mdy, ymd, with - / . or space between
time_format = "H:MM"         # HH H (0 to 24), hh h with A (AM, PM), MM, SS
zone = "Europe/Lisbon"       # else the person's
times = "slot"               # clock times made up on paper, standing for the meal
slot_times = ["8:00", "12:00"]  # with it, only these times are made up

[off_scale]                  # LO, HI, Low and High are known without it
low = ["LO", "under"]
high = ["HI", "over"]
low_limit = "1.1"            # of the meter, in the file's unit; unknown if left out
high_limit = "33.3"

[columns]                    # by name, or by number from 1
date = "Date"                # or: datetime = "When"
time = "Time"
value = "Result"
code = "Kind"                # also: unit, mark, minutes_after, note, tags, site, meter

[codes]                      # with a code column, a code that is not listed here is refused
"B1" = { mark = "waking" }
"B2" = { mark = "after_breakfast", minutes_after = 120 }
"I" = { dose = "regular insulin", unit = "U" }
"M" = { event = "meal", level = "larger" }
"S" = { event = "symptom", text = "shaky" }
"C" = { control = "normal" } # a control test of that level; "any" where the file doesn't say it
"X" = { leave_out = "ketone test" }

[marks]                      # words of the mark column beyond the plain ones
"nuchter" = "waking"
```

Two-digit years, which only a format with YY or a stated `date_order` allows, are 1970 to 2069.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from app.domain.glucose import Bound, Unit
from app.domain.marks import Mark

ROLES = (
    "date",
    "time",
    "datetime",
    "value",
    "unit",
    "code",
    "mark",
    "minutes_after",
    "note",
    "tags",
    "site",
    "meter",
)
ORDERS = ("dmy", "mdy", "ymd")
DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
EVENTS = ("meal", "snack", "exercise", "symptom", "journey", "other")


@dataclass(frozen=True, slots=True)
class MarkAs:
    """A code of the file that says: a glucose result with this mark."""

    mark: Mark = Mark.NONE
    minutes_after: int | None = None


@dataclass(frozen=True, slots=True)
class DoseAs:
    """A code of the file that says: a dose of this."""

    what: str
    unit: str = "U"
    kind: str | None = None


@dataclass(frozen=True, slots=True)
class EventAs:
    """A code of the file that says: this happened."""

    kind: str
    level: str | None = None
    text: str | None = None


@dataclass(frozen=True, slots=True)
class ControlAs:
    """A code of the file that says: a test with control solution of this level, None for any."""

    level: str | None = None


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A code of the file whose rows are no part of a diary, with the reason."""

    why: str


Meaning = MarkAs | DoseAs | EventAs | ControlAs | LeftOut


@dataclass(frozen=True, slots=True)
class OffScale:
    """Words for a result off the meter's scale, casefolded, and the meter's limits where known."""

    words: Mapping[str, Bound] = field(
        default_factory=lambda: {
            "lo": Bound.BELOW,
            "low": Bound.BELOW,
            "hi": Bound.ABOVE,
            "high": Bound.ABOVE,
        }
    )
    low_limit: str | None = None
    high_limit: str | None = None


@dataclass(frozen=True, slots=True)
class Recipe:
    """How to read one source's files; the keys of the TOML file, typed.

    `unit_settled` says that a person gave the unit for this file, against what its header says;
    `unit_from` from which lines on it is another one, () for one unit throughout, None if nobody
    said so. Both are answers for one file and no part of the TOML text.
    """

    name: str = "file"
    source: str = "file"
    encoding: str | None = None
    delimiter: str | None = None
    skip: int = 0
    header: bool | None = None
    unit: Unit | None = None
    unit_settled: bool = False
    unit_from: tuple[tuple[int, Unit], ...] | None = None
    date_format: str | None = None
    date_order: str | None = None
    time_format: str | None = None
    zone: str | None = None
    times: str = "clock"
    slot_times: tuple[str, ...] = ()
    off_scale: OffScale = field(default_factory=OffScale)
    columns: Mapping[str, str | int] = field(default_factory=dict)
    codes: Mapping[str, Meaning] = field(default_factory=dict)
    marks: Mapping[str, Mark] = field(default_factory=dict)
