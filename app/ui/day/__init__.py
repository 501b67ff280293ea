"""The page of one day: its chart, its slots beside the days before, and what was written."""
