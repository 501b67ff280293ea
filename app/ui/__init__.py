"""The window: Qt widgets that show and ask; no arithmetic on glucose."""
