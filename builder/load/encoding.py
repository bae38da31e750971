"""What a file was saved as, where that is not UTF-8: said by its name, since that is what a person can change."""

import codecs

UTF_8 = "text saved as UTF-8"
SEEN = 4096
"""Bytes at the beginning that are looked at."""


def other_encoding(data: bytes) -> str:
    """What a file that is not UTF-8 was most likely saved as; empty where its beginning does not tell.

    >>> other_encoding("id,model".encode("utf-16-le"))
    'text saved as UTF-16, which some editors call Unicode'
    """
    start = data[:SEEN]
    marked = start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    if marked or (len(start) > 1 and max(start[::2].count(0), start[1::2].count(0)) * 3 > len(start)):
        return "text saved as UTF-16, which some editors call Unicode"
    return ""


def odd_byte(byte: int) -> str:
    """What one byte says that UTF-8 does not have."""
    return f"a byte that is not UTF-8 ({byte:#04x}), as in text saved as ANSI or Windows-1252"
