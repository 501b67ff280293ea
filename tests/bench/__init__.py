"""Speed as a ratio against a floor that is measured in the same run: `python -m tests.bench`."""
