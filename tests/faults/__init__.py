"""Breaking the surroundings of the diary on purpose, and asking whether its promises hold.

The method is the one that SQLite documents for itself ("How SQLite Is Tested"): let the N-th
operation fail, look at what is promised, N := N + 1, until a run ends without meeting the fault.
Each suite has a control, a deliberately wrong setting with which it must find something broken.
"""
