"""One hash of plain data: equal for equal values in every process, and different where anything differs."""

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from fractions import Fraction

Feed = Callable[[bytes], object]


def digest(*values: object) -> str:
    """SHA-256 over plain values: texts, bytes, numbers, days, tuples, lists, mappings in their order, and dataclasses.

    Fields of dataclasses count even where ``repr`` leaves them out. Two values of different types never agree.

    :raises TypeError: for anything else, since what has no order or no value cannot be told apart.
    """
    state = hashlib.sha256()
    for value in values:
        _feed(value, state.update)
    return state.hexdigest()


def _feed(value: object, feed: Feed) -> None:
    if isinstance(value, str) and type(value) is str:
        _piece(b"s", value.encode("utf-8", "surrogatepass"), feed)
    elif isinstance(value, bytes):
        _piece(b"b", value, feed)
    elif isinstance(value, Enum):
        _piece(b"e", f"{_kind(value)}.{value.name}".encode(), feed)
    elif value is None or isinstance(value, (bool, int, float, Fraction, date, datetime)):
        _piece(b"v", f"{type(value).__name__} {value!r}".encode(), feed)
    else:
        parts = list(_parts(value))
        _piece(b"n", f"{_kind(value)} {len(parts)}".encode(), feed)
        for part in parts:
            _feed(part, feed)


def _parts(value: object) -> Iterator[object]:
    if isinstance(value, (tuple, list)):
        yield from value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield key
            yield inner
    elif is_dataclass(value) and not isinstance(value, type):
        yield from (getattr(value, field.name) for field in fields(value))
    else:
        raise TypeError(f"{type(value).__name__} is no plain data, so it has no hash: {value!r:.80}")


def _kind(value: object) -> str:
    return f"{type(value).__module__}.{type(value).__qualname__}"


def _piece(mark: bytes, data: bytes, feed: Feed) -> None:
    """Each piece tells its length, so no two rows of pieces run into the same bytes."""
    feed(b"%b%d:" % (mark, len(data)))
    feed(data)
