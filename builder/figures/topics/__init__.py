"""What is computed for a program, one module a topic; order in ``compute.py``."""
