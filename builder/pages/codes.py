"""Short codes that say what a printed thing prints: another text or number gives another code."""

import hashlib

CODE_SIGNS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Signs of a code: none that is easily taken for another when read out."""
CODE_LENGTH = 5


def short_code(short: str, told: bytes) -> str:
    """The site's letters and five signs made from everything that is printed.

    Five signs of thirty make a chance match of two given things less likely than one in twenty million.

    >>> short_code("EX", b"what is printed")
    'EX-JBYQD'
    """
    number = int.from_bytes(hashlib.sha256(told).digest(), "big")
    signs = ""
    for _ in range(CODE_LENGTH):
        number, digit = divmod(number, len(CODE_SIGNS))
        signs += CODE_SIGNS[digit]
    return f"{short}-{signs}"
