"""Forms of the Kit page about something that is there, and can be put into the bin."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from uuid import UUID

from app.domain.errors import DiaryError
from app.ui.controls import Button, FlowRow
from app.ui.gate import writes
from app.ui.kit.forms import KitForm
from app.ui.kit.words import tr
from app.work.kit_things import KitDone, remove


class RemovingForm(KitForm):
    """Remove is refused, with the reason, for what readings or tests name."""

    taking: Button | None = None

    def let_remove(self, table: str, row_id: int, uid: UUID, name: str) -> None:
        """Offer to put it into the bin."""
        self.taking = self.take_button(
            tr("Put into the bin"),
            lambda now: remove(
                self.session.diary, self.session.person, table, row_id, uid, name, now=now
            ),
        )
        self.add_field(FlowRow((self.taking,)))

    def take_button(self, text: str, call: Callable[[datetime], KitDone]) -> Button:
        """A button that takes something away with a call, and closes the form."""
        button = writes(Button(text, self, size="bar"))
        button.clicked.connect(partial(self._take, call))
        return button

    def _take(self, call: Callable[[datetime], KitDone], _checked: bool = False) -> None:
        try:
            done = call(self.session.now())
        except DiaryError as trouble:
            self._tell(str(trouble))
        else:
            self.done_with.emit(done.sentence)
            self.accept()
