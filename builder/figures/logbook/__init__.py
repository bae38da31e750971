"""Records read again: what each proves by the window of its day, and what a unit's whole history says."""
