"""The Patterns page: what repeats at one time of day, and what could hide it."""
