"""Reads a published site with readers of its own, and holds everything printed against the ledger.

Nothing here draws: pages are read by the standard library's HTML parser, PDFs by a library that the builder does not
write them with.
"""
