"""The Figures page: the averages of a period, how far to trust them, shares, marks, periods."""
