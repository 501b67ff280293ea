"""What is due, followed up or said once: lists of it, what watches the clock, and reminders."""
