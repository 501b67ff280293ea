"""The diary itself, the copies that wrote in it, and the journal of every change."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, Index, Integer, LargeBinary, Table, UniqueConstraint

from app.store.schema.base import blob, integer, metadata, refers, words

diary = Table(
    "diary",
    metadata,
    Column("id", Integer, CheckConstraint("id = 1", name="one_row"), primary_key=True),
    blob("uid"),
    integer("made_at"),
    integer("change_counter", default=0),
)

copy = Table(
    "copy",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("uid", LargeBinary, nullable=False, unique=True),
    words("label"),
    integer("last_no", default=0),
)

journal_entry = Table(
    "journal_entry",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("uid", LargeBinary, nullable=False, unique=True),
    refers("copy_id", "copy"),
    integer("no"),
    integer("at"),
    integer("keeper_id", null=True),
    integer("person_id", null=True),
    words("kind"),
    words("words"),  # JSON: what the sentence about this change is filled with
    refers("undoes", "journal_entry", null=True),
    words("seen", default="{}"),  # JSON: of every other copy the highest number seen
    integer("import_id", null=True),
    integer("erased", default=0),
    blob("row_hash", null=True),
    UniqueConstraint("copy_id", "no"),
    Index("ix_journal_entry_at", "at"),
)

journal_change = Table(
    "journal_change",
    metadata,
    Column("id", Integer, primary_key=True),
    refers("entry_id", "journal_entry"),
    words("tbl"),
    blob("row_uid"),
    words("op"),  # add, edit, delete, restore
    words("old", null=True),
    words("new", null=True),
    blob("row_hash", null=True),
    Index("ix_journal_change_row", "tbl", "row_uid"),
    Index("ix_journal_change_entry", "entry_id"),
)
