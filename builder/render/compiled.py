"""Compiled templates, kept where Python keeps compiled modules: to compile them takes as long as to lay out a card.

They are believed as Python believes its own: from beside the program, where only who may change it can write. A cache
that others share may hold nothing that is run.
"""

from __future__ import annotations

import hashlib
import os
import sys
from contextlib import suppress
from importlib.util import cache_from_source
from pathlib import Path

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

DIGEST_BYTES = 32


class CompiledTemplates(BytecodeCache):
    """Hands out what was compiled of the same text by the same code; what is spoiled is compiled anew."""

    def __init__(self, basis: str) -> None:
        """``basis`` is a hash of all that decides how a template is compiled, but its text and Python."""
        self._basis = basis.encode()

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fill in what is kept; the library itself checks that the text and Python are the same."""
        with suppress(OSError, NotImplementedError):
            whole = self._place(bucket).read_bytes()
            if whole[:DIGEST_BYTES] == self._digest(bucket, whole[DIGEST_BYTES:]):
                bucket.bytecode_from_string(whole[DIGEST_BYTES:])

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep it, unless Python keeps nothing or the place is not to be written to."""
        if sys.dont_write_bytecode:
            return
        data = bucket.bytecode_to_string()
        with suppress(OSError, NotImplementedError):
            place = self._place(bucket)
            place.parent.mkdir(parents=True, exist_ok=True)
            part = place.with_name(f"{place.name} {os.getpid()}")
            try:
                part.write_bytes(self._digest(bucket, data) + data)
                part.replace(place)
            finally:
                part.unlink(missing_ok=True)

    def get_cache_key(self, name: str, filename: str | None = None) -> str:
        """The name itself, since each has one place."""
        return f"{name}\n{filename}"

    def _digest(self, bucket: Bucket, data: bytes) -> bytes:
        return hashlib.sha256(b"\n".join((self._basis, bucket.key.encode(), data))).digest()

    def _place(self, bucket: Bucket) -> Path:
        name = bucket.key.partition("\n")[0].replace("/", "-")
        return Path(cache_from_source(str(Path(__file__).with_name(f"template-{name}"))))
