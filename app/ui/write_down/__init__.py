"""One small window for what is no reading: help, tests, laboratory values, days, events, tags."""
