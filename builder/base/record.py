"""Frozen records as ``dataclasses`` makes them, made ready in a third of the time.

The library writes out and compiles six methods of each class while its module is loaded, a fifth of a second in all.
Here a method is compiled when it is first called, and most of them never are.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError, fields
from typing import TYPE_CHECKING, Any

__all__ = ["dataclass"]

if TYPE_CHECKING:
    from dataclasses import dataclass
else:

    def dataclass(
        *, frozen: bool = False, slots: bool = False, kw_only: bool = False, order: bool = False
    ) -> Callable[[type], type]:
        """What ``dataclasses.dataclass`` does, to which all but frozen records with slots are left."""
        if not (frozen and slots):
            return dataclasses.dataclass(frozen=frozen, slots=slots, kw_only=kw_only, order=order)
        written = [name for name in WRITTEN if order or name not in ORDER]

        def made(kind: type) -> type:
            own = set(vars(kind))
            bare = dataclasses.dataclass(init=False, repr=False, eq=False, slots=True, kw_only=kw_only)(kind)
            for name, method in ({name: _later(bare, name) for name in written} | SHARED).items():
                if name not in own:
                    setattr(bare, name, method)
            return bare

        return made


def _later(kind: Any, name: str) -> Callable[..., Any]:
    """A method that is written when it is first called, and takes its own place."""

    def first(*given: Any, **named: Any) -> Any:
        known: dict[str, Any] = {}
        exec(WRITTEN[name](kind, known), known)  # noqa: S102 - as the library does it
        known[name].__qualname__ = f"{kind.__qualname__}.{name}"
        setattr(kind, name, known[name])
        return known[name](*given, **named)

    return first


def _init(kind: Any, known: dict[str, Any]) -> str:
    """Takes the fields by place or by name, and fills in what is not given."""
    known["MISSING"] = MISSING
    places, lines, names = ["self"], ["pass"], list[str]()
    for part in fields(kind):
        name, taken, value = part.name, part.name, part.name
        known[f"put_{name}"] = getattr(kind, name).__set__
        if part.default is not MISSING:
            known[f"usual_{name}"] = part.default
            taken = f"{name}=usual_{name}"
        elif part.default_factory is not MISSING:
            known[f"new_{name}"] = part.default_factory
            taken, value = f"{name}=MISSING", f"new_{name}() if {name} is MISSING else {name}"
        if part.init:
            (names if part.kw_only else places).append(taken)
            lines.append(f"put_{name}(self, {value})")
    if hasattr(kind, "__post_init__"):
        lines.append("self.__post_init__()")
    taken = ", ".join([*places, *(["*", *names] if names else [])])
    return f"def __init__({taken}):\n    " + "\n    ".join(lines)


def _comparison(name: str, sign: str) -> Callable[[Any, dict[str, Any]], str]:
    def written(kind: Any, known: dict[str, Any]) -> str:  # noqa: ARG001 - the form of all of them
        holds = f"{_compared(kind, 'self')} {sign} {_compared(kind, 'other')}"
        return f"def {name}(self, other):\n    return {holds} if other.__class__ is self.__class__ else NotImplemented"

    return written


def _hash(kind: Any, known: dict[str, Any]) -> str:  # noqa: ARG001 - as above
    return f"def __hash__(self):\n    return hash({_compared(kind, 'self')})"


def _repr(kind: Any, known: dict[str, Any]) -> str:  # noqa: ARG001 - as above
    shown = ", ".join(f"{part.name}={{self.{part.name}!r}}" for part in fields(kind) if part.repr)
    return f"def __repr__(self):\n    return f'{{self.__class__.__qualname__}}({shown})'"


def _compared(kind: Any, record: str) -> str:
    return "(" + "".join(f"{record}.{part.name}, " for part in fields(kind) if part.compare) + ")"


ORDER = {"__lt__": "<", "__le__": "<=", "__gt__": ">", "__ge__": ">="}
WRITTEN = {
    "__init__": _init,
    "__hash__": _hash,
    "__repr__": _repr,
    **{name: _comparison(name, sign) for name, sign in ({"__eq__": "=="} | ORDER).items()},
}
"""Method -> what writes it for a class, and says which names it uses; ``ORDER`` is for records that are sorted."""


# ---- the same for all ---------------------------------------------------------------


def _refuse_to_set(_self: Any, name: str, _value: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_to_delete(_self: Any, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, part.name) for part in fields(self)]


def _restore(self: Any, state: list[Any]) -> None:
    for part, value in zip(fields(self), state, strict=True):
        object.__setattr__(self, part.name, value)


SHARED = {
    "__setattr__": _refuse_to_set,
    "__delattr__": _refuse_to_delete,
    "__getstate__": _state,
    "__setstate__": _restore,
}
"""The last two are how a record with slots is copied and sent to other processes."""
