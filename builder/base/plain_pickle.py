"""Plain data of the builder as bytes and back; nothing else is read, since others may write into a shared folder."""

from __future__ import annotations

import io
import pickle
from dataclasses import is_dataclass
from datetime import date
from enum import Enum
from fractions import Fraction
from importlib import import_module
from typing import Any

from builder.base.sources import NAME

OUTSIDE = {("fractions", "Fraction"): Fraction, ("datetime", "date"): date}


def packed(value: object) -> bytes:
    """Texts, bytes, numbers, days, tuples, lists, dictionaries, and dataclasses and enumerations of the builder."""
    return pickle.dumps(value, protocol=5)


def unpacked(data: bytes | None) -> Any:
    """What was packed, or ``None`` where nothing was or where it is not what this builder packs."""
    if data is None:
        return None
    try:
        return _Plain(io.BytesIO(data)).load()
    except Exception:  # noqa: BLE001 - any bytes may stand there, and what they hide is made anew
        return None


class _Plain(pickle.Unpickler):
    """Makes dataclasses and enumerations of the builder and nothing else, so no bytes can run anything."""

    def find_class(self, module: str, name: str) -> Any:
        if (module, name) in OUTSIDE:
            return OUTSIDE[module, name]
        if module.partition(".")[0] == NAME:
            found = getattr(import_module(module), name, None)
            if isinstance(found, type) and (is_dataclass(found) or issubclass(found, Enum)):
                return found
        raise pickle.UnpicklingError(f"{module}.{name} is nothing that is kept")
