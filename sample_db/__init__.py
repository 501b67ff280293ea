"""Two invented households and the year that their meters, paper and diary tell of."""
