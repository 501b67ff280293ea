"""Thimblebook: an offline diary for people who test blood glucose with a finger-stick meter."""
