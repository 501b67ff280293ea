"""Checks against outside sources, with the source and how sure it is beside each value."""
