"""What the figures prove wrong: one rule a file, listed in ``order.py``."""
