"""The first start and every later one: an environment made once, then only looked at."""
