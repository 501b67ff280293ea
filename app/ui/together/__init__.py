"""Two homes' copies of one diary in the window: looked at, brought together, settled."""
