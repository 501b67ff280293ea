"""What keeps the diary safe while the window is open: checks, backups, notes, and the way back."""
