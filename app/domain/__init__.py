"""Plain types and rules of the trade: glucose, time, marks, targets, the entry line, errors."""
