"""The Plan page: which tests are meant to happen, and what became of them."""
