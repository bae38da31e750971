"""Puts a finished site in place, whole or not at all."""
