"""One hash of plain data: equal for equal values in every process, and different where anything differs."""

import hashlib
import io
import pickle
from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from fractions import Fraction
from functools import cache
from operator import attrgetter
from typing import Any, Final
from zlib import crc32

SCALARS: Final = (type(None), bool, int, float, Fraction, date, datetime)


def digest(*values: object) -> str:
    """SHA-256 over plain values: texts, bytes, numbers, days, tuples, lists, mappings in their order, and dataclasses.

    Fields of dataclasses count even where ``repr`` leaves them out. Two values of different types never agree.

    :raises TypeError: for anything else, since what has no order or no value cannot be told apart.
    """
    pieces: list[bytes] = []
    _feed(values, pieces)
    return hashlib.sha256(b"".join(pieces)).hexdigest()


def _feed(values: Iterable[object], pieces: list[bytes]) -> None:
    """Every piece tells its length, so no two rows of pieces run into the same bytes."""
    for value in values:
        kind: Any = type(value)
        if isinstance(value, str) and kind is str:
            data = value.encode("utf-8", "surrogatepass")
            pieces += (b"s%d:" % len(data), data)
        elif isinstance(value, bytes):
            pieces += (b"b%d:" % len(value), value)
        elif isinstance(value, Enum):
            data = f"{_name_of(kind)}.{value.name}".encode()
            pieces += (b"e%d:" % len(data), data)
        elif isinstance(value, SCALARS):
            data = f"{kind.__name__} {value!r}".encode()
            pieces += (b"v%d:" % len(data), data)
        else:
            parts = _parts_of(kind)(value)
            data = f"{_name_of(kind)} {len(parts)}".encode()
            pieces += (b"n%d:" % len(data), data)
            _feed(parts, pieces)


@cache
def _parts_of(kind: type) -> Callable[[Any], tuple[object, ...]]:
    """What takes a value of this kind apart."""
    if issubclass(kind, (tuple, list)):
        return tuple
    if issubclass(kind, Mapping):
        return lambda value: tuple(part for pair in value.items() for part in pair)
    if not is_dataclass(kind):
        return _refused
    names = [field.name for field in fields(kind)]
    return attrgetter(*names) if len(names) > 1 else lambda value: tuple(getattr(value, name) for name in names)


def _refused(value: object) -> tuple[object, ...]:
    raise TypeError(f"{type(value).__name__} is no plain data, so it has no hash: {value!r:.80}")


@cache
def _name_of(kind: type) -> str:
    return f"{kind.__module__}.{kind.__qualname__}"


# ---- of very many records -----------------------------------------------------------


def quick_digest(*values: object) -> str:
    """As ``digest``, in a tenth of the time and by the same rules, for what is asked of pages and papers in each build.

    Another hash, which is printed nowhere. What the library writes out is hashed and never read back.

    :raises TypeError: for what is no plain data; sets are not found out, so nothing that is asked for holds any.
    """
    known = -1
    while known != len(_REDUCED):  # a kind that was met for the first time has a number only now
        known = len(_REDUCED)
        target = io.BytesIO()
        pickler = pickle.Pickler(target, protocol=5)
        pickler.dispatch_table = _REDUCED
        pickler.memo = _REDUCED.numbered
        pickler.fast = True  # every part is written out, whether or not another part is the same object
        pickler.dump(values)
    return hashlib.sha256(target.getbuffer()).hexdigest()


class _Reduced(dict[type, Callable[[Any], tuple[Any, ...]]]):
    """How to take each kind of record apart: into all of its fields, at once."""

    def __init__(self) -> None:
        self.numbered: dict[int, tuple[int, type]] = {}
        """What the library takes for written already, by its identity: kinds, which it looks up by name otherwise."""

    def __missing__(self, kind: Any) -> Callable[[Any], tuple[Any, ...]]:
        if issubclass(kind, (*SCALARS, type)):
            raise KeyError(kind)  # the library's own way
        parts = _member if issubclass(kind, Enum) else _parts_of(kind)
        number = crc32(_name_of(kind).encode())  # the same in every process
        if all(number != other for other, _ in self.numbered.values()):
            self.numbered[id(kind)] = number, kind
        self[kind] = lambda value: (kind, parts(value))
        return self[kind]


def _member(value: Enum) -> tuple[str]:
    """Told by its name here: how the library takes one apart differs between releases of Python."""
    return (value.name,)


_REDUCED = _Reduced()
