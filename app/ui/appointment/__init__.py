"""The Appointment page: the sheet as it will be printed, what to ask, and what came of a visit."""
