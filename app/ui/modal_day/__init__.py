"""Modal day: the readings of a period laid over one day, with the slots they belong to."""
