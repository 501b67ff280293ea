"""The Kit page: meters, strip vials and their dates, control tests, and what they put in doubt."""
