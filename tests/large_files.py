"""A file of many invented readings, as it would be picked for an import."""

from __future__ import annotations

from datetime import datetime, timedelta

from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.work.bring_in import File

_RECIPE = """
name = "kitchen"
delimiter = "comma"
unit = "mmol/L"
date_format = "YYYY-MM-DD"
time_format = "HH:MM"
zone = "Europe/Lisbon"

[columns]
date = "date"
time = "time"
value = "value"
"""


def kitchen_csv(rows: int, *, first: int = 0) -> bytes:
    """Lines two hours apart, from the `first` of them on; no two are alike."""
    begun = datetime(2020, 1, 1, 0, 5)  # noqa: DTZ001 - the wall time of a file, without a zone
    lines = (
        f"{begun + timedelta(hours=2 * number):%Y-%m-%d,%H:%M},{4 + number % 90 / 10:.1f}\n"
        for number in range(first, first + rows)
    )
    return ("date,time,value\n" + "".join(lines)).encode()


def kitchen_file(rows: int, *, first: int = 0) -> File:
    """The same lines, read with the recipe that fits them."""
    data = kitchen_csv(rows, first=first)
    read = read_table(data, read_recipe(_RECIPE, where="kitchen.toml"), unit_hint=None)
    return File("kitchen.csv", data, read)
