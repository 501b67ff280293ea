"""The page for an appointment: what it says, and one painter for screen, printer and PDF."""
