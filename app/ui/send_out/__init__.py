"""Export: what leaves the diary is chosen, summed up in words, and written off the GUI thread."""
