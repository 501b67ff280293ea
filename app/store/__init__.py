"""The one SQLite file: tables, opening, journal, undo, columns for numpy."""
