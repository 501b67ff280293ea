"""Files that were brought in: the batch, the rows worth keeping an account of, the recipe."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Index

from app.store.schema.base import LIVE, blob, integer, refers, user_table, whole_number, words

recipe = user_table(
    "recipe",
    words("name"),
    words("signature", null=True),
    words("spec"),  # the TOML text
    Index("uq_recipe_name", "name", unique=True, sqlite_where=LIVE),
)

import_batch = user_table(
    "import_batch",
    refers("person_id", "person", null=True),
    words("name"),
    blob("sha"),
    integer("bytes"),
    integer("seen"),
    integer("new"),
    integer("already"),
    integer("refused"),
    integer("held"),
    refers("recipe_id", "recipe", null=True),
    integer("meter_id", null=True),
    words("newest_raw", null=True),
    integer("at"),
    words("zone"),
    CheckConstraint("new + already + refused + held = seen", name="account_adds_up"),
    *whole_number("seen", "new", "already", "refused", "held", "bytes"),
)

import_row = user_table(
    "import_row",
    refers("import_id", "import_batch"),
    integer("line"),
    words("text"),
    words("verdict"),
    words("reason", null=True),
    words("tbl", null=True),
    blob("row_uid", null=True),
    *whole_number("line"),
    Index("ix_import_row_import", "import_id"),
)
