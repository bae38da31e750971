"""Reads content files into documents that remember file and line; judges nothing."""
