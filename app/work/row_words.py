"""One row of any table in a few words, for lists that hold all sorts of things."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from app.work.edit_words import reading_words

Row = Mapping[str, Any]

_SHORT = 60  # characters of a note in a list


def row_words(table: str, row: Row) -> str:
    """What a row is, to be read inside a sentence: "the reading 7.2 mmol/L, 2026-03-12 07:05"."""
    says = _SAYS.get(table)
    return says(row) if says is not None else f"a record of the kind “{table.replace('_', ' ')}”"


def _named(what: str, column: str) -> Callable[[Row], str]:
    def says(row: Row) -> str:
        held = row[column]
        return f"{what} “{_short(str(held))}”" if held else what

    return says


def _at(what: str, *columns: str) -> Callable[[Row], str]:
    def says(row: Row) -> str:
        held = " ".join(str(row[column]) for column in columns if row[column])
        at = "" if row["wall"] is None else f", {row['wall'].replace('T', ' ')}"
        return f"{what} {_short(held)}{at}".strip()

    return says


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= _SHORT else f"{line[: _SHORT - 1]}…"


_SAYS: dict[str, Callable[[Row], str]] = {
    "reading": lambda row: f"the reading {reading_words(row)}",
    "person": lambda row: str(row["name"]),
    "note": _named("the note", "text"),
    "tag": _named("the tag", "label"),
    "tag_on": lambda _row: "a tag on a record",
    "dose": _at("the dose", "what", "amount", "unit"),
    "event": _at("the event", "kind", "text"),
    "ketone": _at("the ketone test", "value", "unit", "level"),
    "control_test": _at("the control test", "value"),
    "lab_result": _at("the lab result", "value", "unit"),
    "help": _at("the help from another person", "what"),
    "span": lambda row: f"the days “{_short(row['text'] or row['kind'].replace('_', ' '))}”",
    "change_mark": _named("the change", "what"),
    "visit": _named("the visit", "outcome"),
    "question": lambda _row: "a question that was asked",
    "target_set": _named("the goals", "name"),
    "care_text": _named("the text", "kind"),
    "usual_time": _named("the usual time", "mark"),
    "person_setting": _named("the setting", "key"),
    "keeper": _named("the keeper", "name"),
    "place": _named("the place", "name"),
    "meter": _named("the meter", "name"),
    "vial": _named("the vial", "lot"),
    "solution": _named("the control solution", "lot"),
    "clock_repair": lambda _row: "the repair of a meter's clock",
    "zone_stretch": lambda row: f"the stay in {row['zone']}",
    "clock_setting": lambda _row: "a setting of the meter's clock",
    "clock_anchor": lambda _row: "a known moment of a meter's clock",
    "kit_item": _named("the kit's part", "name"),
    "kit_event": _named("what happened to the kit", "kind"),
    "supply": lambda row: f"the supply of {row['count']} ({row['why']})",
    "memory_check": lambda _row: "the check of a meter's memory",
    "plan": _named("the plan", "name"),
    "plan_rule": lambda _row: "a rule of a plan",
    "plan_exception": lambda _row: "a planned test put aside",
    "follow_rule": _named("the follow-up", "kind"),
    "due_state": lambda _row: "what was shown as due",
    "ask_item": _named("the question to ask", "text"),
    "ruling": lambda _row: "a word on rows that were asked about",
    "import_batch": _named("the account of the import", "name"),
    "import_row": _named("a row that was not taken", "text"),
    "recipe": _named("the recipe", "name"),
}
