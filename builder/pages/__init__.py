"""Composes pages and cards as plain data: no markup, no arithmetic, numbers only by figure key."""
