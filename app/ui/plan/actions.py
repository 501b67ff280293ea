"""What the Plan page can do, for the menu bar and for its own buttons."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QKeySequence

from app.ui.gate import writes
from app.ui.plan.acts import Act
from app.ui.plan.test_bar import act_words
from app.ui.plan.words import tr

# The reading of a test is shown by Enter, and its mark written by Enter too.
_ACT_KEYS = {
    Act.ELSEWHERE: "Ctrl+Shift+O",
    Act.MOVE: "Ctrl+Shift+V",
    Act.SKIP: "Ctrl+Shift+X",
    Act.AGAIN: "Ctrl+Shift+I",
}


class PlanActions(QObject):
    """Each action with its key; which of them are on follows the plan and the test spoken of."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.change = writes(self._made(tr("Change the plan…"), "Ctrl+E"))
        self.choose = writes(self._made(tr("Choose a plan…"), "Ctrl+Shift+T"))
        self.pause = writes(self._made(tr("Pause the plan from today"), "Ctrl+Shift+P"))
        self.calendar = self._made(tr("Calendar file…"), "Ctrl+Shift+S")
        self.history = self._made(tr("Versions of the plan…"), "Ctrl+Shift+H")
        self.sick = self._made(tr("Sick days…"), "Ctrl+Shift+Y")
        self.journeys = self._made(tr("Journeys and driving…"), "Ctrl+Shift+J")
        self.earlier = self._made(tr("Earlier days"), "Alt+Shift+Left")
        self.later = self._made(tr("Later days"), "Alt+Shift+Right")
        self.today = self._made(tr("Days to today"), "Alt+Shift+Home")
        self.acts = {
            act: writes(self._made(act_words(act), keys)) for act, keys in _ACT_KEYS.items()
        }
        self.show_state(has_plan=False, in_force=False, is_paused=False, writable=True)
        self.show_acts(())

    def with_menus(self) -> Sequence[tuple[str, QAction]]:
        """Every action with the menu that it stands in."""
        plan = (self.change, self.choose, self.pause, *self.acts.values())
        return [
            *(("edit", action) for action in plan),
            ("diary", self.calendar),
            ("view", self.history),
            ("view", self.sick),
            ("view", self.journeys),
            *(("go", action) for action in (self.earlier, self.later, self.today)),
        ]

    @property
    def rarer(self) -> Sequence[QAction]:
        """Those that share one button on the page."""
        return (self.choose, self.pause, self.sick, self.journeys, self.history)

    def show_state(
        self, *, has_plan: bool, in_force: bool, is_paused: bool, writable: bool
    ) -> None:
        """Turn on what the plan allows."""
        self.change.setEnabled(in_force and writable)
        self.choose.setEnabled(writable)
        self.pause.setEnabled((in_force or is_paused) and writable)
        self.pause.setText(
            tr("Resume the plan from today") if is_paused else tr("Pause the plan from today")
        )
        self.calendar.setEnabled(in_force)
        for action in (self.history, self.earlier, self.later, self.today):
            action.setEnabled(has_plan)

    def show_acts(self, can: Sequence[Act]) -> None:
        """Turn on what can be done with the test that is spoken of."""
        for act, action in self.acts.items():
            action.setEnabled(act in can)

    def _made(self, text: str, keys: str) -> QAction:
        action = QAction(text, self.parent())
        action.setShortcut(QKeySequence(keys))
        action.setStatusTip(text)
        return action
