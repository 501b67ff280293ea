"""How the diary looks, on screen and on paper: colours, letters, marks, icons; below every page."""
