"""Records that say at each field how it is read, so that its key, its unit and what it means stand in one place.

Fields are read in their order. To whoever checks types a field is what its reader gives; at run time it has no value of
its own. What is read is a mapping of ``Fields``, or a row of a table.
"""

from collections.abc import Callable, Mapping
from dataclasses import Field, field, fields
from operator import attrgetter
from typing import Any, Concatenate, ParamSpec, TypeVar, cast

from builder.base.where import Where
from builder.program.reading import Fields

T = TypeVar("T")
F = TypeVar("F")
P = ParamSpec("P")
READ = "read"


def asked(how: Callable[Concatenate[F, str, P], T], *args: P.args, **others: P.kwargs) -> T:
    """A field read from the key of its name, with hyphens, by a method of ``Fields`` or a function alike."""
    return _read(lambda part, name, _: how(part, name.replace("_", "-"), *args, **others))


def under(key: str, how: Callable[Concatenate[F, str, P], T], *args: P.args, **others: P.kwargs) -> T:
    """The same, read from another key."""
    return _read(lambda part, _, __: how(part, key, *args, **others))


def made(how: Callable[[Fields], T]) -> T:
    """A field that is made of several keys, or of none."""
    return _read(lambda part, _, __: how(part))


def after(how: Callable[[Fields, Mapping[str, Any]], T]) -> T:
    """A field that hangs on those read before it, which are told by name."""
    return _read(lambda part, _, known: how(part, known))


def usual(value: T, how: T) -> T:
    """A field with a value of its own for records that nobody read."""
    declared = cast("Field[Any]", how)
    return field(default=value, metadata=declared.metadata)


def identity(kind: str) -> str:
    """The id of a record, noted as defined."""
    return made(lambda part: part.identity(kind).value)


def here(key: str = "") -> Where:
    """The line of a key's value, or of the mapping."""
    return made(lambda part: part.value_at(key)) if key else made(attrgetter("where"))


def words(part: Fields, key: str) -> str:
    """Optional text as it stands there; empty where it is missing."""
    given = part.maybe_text(key)
    return given.value if given else ""


def record(kind: Callable[..., T], **others: Any) -> Callable[[Any], T]:
    """The reader of such a record; ``others`` are the values of fields that no key tells."""

    def read(part: Any) -> T:
        known: dict[str, Any] = {}
        for one in fields(cast("Any", kind)):
            if READ in one.metadata:
                known[one.name] = one.metadata[READ](part, one.name, known)
        return kind(**known, **others)

    return read


def _read(how: Callable[[Any, str, Mapping[str, Any]], T]) -> T:
    return cast("T", field(metadata={READ: how}))
