"""Forms of the Kit page about something that is there, and can be put into the bin."""

from __future__ import annotations

from uuid import UUID

from app.domain.errors import DiaryError
from app.ui.controls import Button, FlowRow
from app.ui.gate import writes
from app.ui.kit.forms import KitForm
from app.ui.kit.words import tr
from app.work.kit_things import remove


class RemovingForm(KitForm):
    """Remove is refused, with the reason, for what readings or tests name."""

    taking: Button | None = None

    def let_remove(self, table: str, row_id: int, uid: UUID, name: str) -> None:
        """Offer to put it into the bin."""
        self._which = (table, row_id, uid, name)
        self.taking = writes(Button(tr("Put into the bin"), self, size="bar"))
        self.taking.clicked.connect(self._on_remove)
        self.add_field(FlowRow((self.taking,)))

    def _on_remove(self) -> None:
        session = self.session
        try:
            done = remove(session.diary, session.person, *self._which, now=session.now())
        except DiaryError as trouble:
            self._tell(str(trouble))
        else:
            self.done_with.emit(done.sentence)
            self.accept()
