"""Bringing a file in: a state of the Readings page, so that the Now column stays usable."""
