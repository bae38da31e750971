"""Plain data of the builder as bytes and back; nothing else is read, since others may write into a shared folder."""

import io
import pickle
from collections.abc import Callable
from copyreg import __newobj__  # type: ignore[attr-defined]  # what the library names in its own bytes
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from fractions import Fraction
from importlib import import_module
from operator import attrgetter
from typing import Any

from builder.base.sources import NAME

OUTSIDE = {("fractions", "Fraction"): Fraction, ("datetime", "date"): date}


def packed(value: object) -> bytes:
    """Texts, bytes, numbers, days, tuples, lists, dictionaries, and dataclasses and enumerations of the builder."""
    target = io.BytesIO()
    pickler = pickle.Pickler(target, protocol=5)
    pickler.dispatch_table = _REDUCED
    pickler.dump(value)
    return target.getvalue()


def unpacked(data: bytes | None) -> Any:
    """What was packed, or ``None`` where nothing was or where it is not what this builder packs."""
    if data is None:
        return None
    try:
        return _Plain(io.BytesIO(data)).load()
    except Exception:  # noqa: BLE001 - any bytes may stand there, and what they hide is made anew
        return None


class _Reduced(dict[type, Callable[[Any], tuple[Any, ...]]]):
    """How to take frozen records apart: as the library does, which asks each of them for its list of fields.

    Enumerations are told by their value; some releases of Python would have them looked up by ``getattr``.
    """

    def __missing__(self, kind: type) -> Callable[[Any], tuple[Any, ...]]:
        if issubclass(kind, Enum):
            self[kind] = lambda member: (kind, (member.value,))
            return self[kind]
        if not is_dataclass(kind) or not hasattr(kind, "__setstate__"):
            raise KeyError(kind)
        names = [part.name for part in fields(kind)]
        whole = attrgetter(*names) if len(names) > 1 else lambda record: [getattr(record, name) for name in names]
        self[kind] = lambda record: (__newobj__, (kind,), list(whole(record)))
        return self[kind]


_REDUCED = _Reduced()


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
