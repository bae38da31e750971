"""The pages of the handbook, one module a section: pure functions from a program and its figures to plain data."""
