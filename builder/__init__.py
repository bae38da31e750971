"""Builds a printable program handbook for portable gas detectors from one folder of plain data."""

__version__ = "0.1.0"
