"""What writes in the diary, marked so that it can be turned off with a reason and on again."""

from __future__ import annotations

from functools import partial
from typing import TypeVar

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

_WRITES = "writes"
_One = TypeVar("_One", bound=QAction | QWidget)


def writes(one: _One) -> _One:
    """Mark an action or a control as one that changes the diary."""
    one.setProperty(_WRITES, True)
    return one


class Gate(QObject):
    """Keeps everything that was marked with `writes` off while there is a reason to.

    Pages go on turning their own actions on and off; what they ask for meanwhile holds afterwards.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._reason = ""
        self._acting = False
        self._known: dict[int, QAction | QWidget] = {}
        self._before: dict[int, tuple[bool, str, str]] = {}

    @property
    def reason(self) -> str:
        """Why nothing can be changed; empty while everything can."""
        return self._reason

    def adopt(self, root: QObject) -> None:
        """Keep what is marked in a window or page, now and later."""
        for one in (root, *root.findChildren(QObject)):
            if isinstance(one, QAction | QWidget) and one.property(_WRITES):
                self._take(one)

    def shut(self, reason: str) -> None:
        """Turn everything off, with the reason in its place; an empty one turns it on again."""
        self._reason = reason
        for key, one in list(self._known.items()):
            if reason:
                self._turn_off(key, one)
            else:
                self._turn_on(key, one)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.EnabledChange and isinstance(watched, QWidget):
            self._on_enabled(id(watched), watched.isEnabled())
        return super().eventFilter(watched, event)

    def _take(self, one: QAction | QWidget) -> None:
        key = id(one)
        if key in self._known:
            return
        self._known[key] = one
        one.destroyed.connect(partial(self._forget, key))
        if isinstance(one, QAction):
            one.enabledChanged.connect(partial(self._on_enabled, key))
            one.changed.connect(partial(self._on_worded, key))
        else:
            one.installEventFilter(self)
        if self._reason:
            self._turn_off(key, one)

    def _forget(self, key: int, *_: object) -> None:
        self._known.pop(key, None)
        self._before.pop(key, None)

    def _turn_off(self, key: int, one: QAction | QWidget) -> None:
        if key not in self._before:
            self._before[key] = (one.isEnabled(), one.toolTip(), one.statusTip())
        self._acting = True
        one.setEnabled(False)
        one.setToolTip(self._reason)
        one.setStatusTip(self._reason)
        self._acting = False

    def _turn_on(self, key: int, one: QAction | QWidget) -> None:
        was, tip, status = self._before.pop(key, (True, one.toolTip(), one.statusTip()))
        self._acting = True
        one.setEnabled(was)
        one.setToolTip(tip)
        one.setStatusTip(status)
        self._acting = False

    def _on_enabled(self, key: int, enabled: bool) -> None:
        one = self._known.get(key)
        if one is None or self._acting or not self._reason or not enabled:
            return
        before = self._before.get(key)
        if before is not None:
            self._before[key] = (True, *before[1:])
        self._turn_off(key, one)

    def _on_worded(self, key: int) -> None:
        """What an action is about changed meanwhile: that holds afterwards, the reason now."""
        one, before = self._known.get(key), self._before.get(key)
        if one is None or before is None or self._acting or not self._reason:
            return
        if one.statusTip() != self._reason:
            self._before[key] = (*before[:2], one.statusTip())
            self._turn_off(key, one)
