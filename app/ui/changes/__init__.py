"""What was changed, in the window: undo and redo, the history, the bin, a person taken out."""
