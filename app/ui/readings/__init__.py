"""The Readings page: every reading in a table, to find, correct, mark, set apart and bin."""
