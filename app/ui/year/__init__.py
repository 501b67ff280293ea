"""Year: months by slot in one view, and the days before and after a change."""
