"""The window: Qt widgets that show what a review says and report what the person wants."""
