"""What each reader of ``Fields`` allows under its key, in the words of JSON Schema."""

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final, TypeAlias

from builder.base.quantity import ALSO_WRITTEN, NUMBER, UNITS, quantity, same_dimension
from builder.program.values import DAY

Json: TypeAlias = dict[str, Any]
VALUE: Final = ["string", "number", "boolean"]
"""A single value: what an author leaves unquoted may look like a number or a yes."""
MUST: Final = frozenset({"text", "need", "reference", "whole", "number", "day", "quantity", "inner", "_borne"})
WHOLE: Final = r"^[0-9]{1,9}$"
MEANT: Final = re.compile(r"([\\.^$*+?()\[\]{}|])")


def needed(how: str, args: tuple[Any, ...], others: Mapping[str, Any]) -> bool:
    """Whether a reader that was asked so refuses a mapping without its key."""
    if how == "choice":
        return len(args) < 2 and others.get("default") is None  # noqa: PLR2004 - allowed, default
    return how in MUST or bool(others.get("required"))


def no_value_too(kind: Json) -> Json:
    """The same, or nothing after the key, which is read as if the key were not there."""
    if "enum" in kind:
        return {**kind, "enum": [*kind["enum"], None]}
    if "type" in kind:
        types = kind["type"] if isinstance(kind["type"], list) else [kind["type"]]
        return {**kind, "type": [*types, "null"]}
    return kind


def kind_schema(how: str, args: tuple[Any, ...], others: Mapping[str, Any]) -> Json:
    """What may stand under a key that a reader was asked for so; empty where its reader decides by itself."""
    simple = how.removeprefix("maybe_")
    if simple in _PLAIN:
        return dict(_PLAIN[simple])
    if simple == "_borne":
        return {"type": VALUE, "pattern": f"^(?:{args[0]})$", "description": "An id."}
    if simple in ("reference", "references"):
        one = {"type": VALUE, "description": f"The id of one {args[0]}."}
        return one if simple == "reference" else _list_of({"type": VALUE}, f"Ids of {args[0]}.", unique=True)
    if simple in ("choice", "choices"):
        return _choice(simple, args[0])
    if simple == "whole":
        least = args[0] if args else others.get("least", 0)
        return {
            "type": ["integer", "string"],
            "pattern": WHOLE,
            "minimum": least,
            "description": f"A whole number, at least {least}.",
        }
    return _quantity(args) if simple == "quantity" else {}


def _list_of(item: Json, description: str, *, unique: bool = False) -> Json:
    return {"type": "array", "items": item, "description": description} | ({"uniqueItems": True} if unique else {})


_PLAIN: Final[Mapping[str, Json]] = {
    "text": {"type": VALUE, "description": "Text."},
    "texts": _list_of({"type": VALUE}, "A list of texts."),
    "scalars": _list_of({"type": VALUE}, "A list of single values."),
    "yes": {"enum": [True, False, "true", "false"], "description": "True or false; false where it is not given."},
    "number": {"type": ["number", "string"], "pattern": r"^\s*[0-9]", "description": "A number above zero."},
    "day": {"type": "string", "pattern": rf"^{DAY.pattern}$", "description": "A day, such as 2026-11-25."},
    "pairs": {"type": "object", "description": "A mapping whose keys are yours."},
    "inner": {"type": "object", "description": "A mapping."},
    "_listed": {"type": "array", "description": "A list of records."},
}


def _choice(how: str, allowed: Any) -> Json:
    """One of some words; an iterator was not looked at, since its reader needs it."""
    if hasattr(allowed, "__next__"):
        return {"type": VALUE} if how == "choice" else _list_of({"type": VALUE}, "A list.")
    words = sorted(allowed) if isinstance(allowed, (set, frozenset)) else list(allowed)
    told = "One of: " + ", ".join(words) + "."
    options = [spelled for word in words for spelled in _spellings(word)]
    return {"enum": options, "description": told} if how == "choice" else _list_of({"enum": options}, told)


def _spellings(word: str) -> Iterator[Any]:
    """A word, and what it is taken for where it stands unquoted."""
    yield word
    if word in ("true", "false"):
        yield word == "true"
    elif re.fullmatch(r"[0-9]+", word):
        yield int(word)


def _quantity(units: tuple[str, ...]) -> Json:
    fitting = [unit for unit in UNITS if unit and any(same_dimension(quantity(1, unit), wanted) for wanted in units)]
    spelled = [*fitting, *(other for other, unit in ALSO_WRITTEN.items() if unit in fitting)]
    names = "|".join(MEANT.sub(r"\\\1", unit) for unit in sorted(spelled, key=len, reverse=True))
    return {
        "type": "string",
        "pattern": rf"^\s*{NUMBER.pattern}\s*(?:{names})\s*$",
        "description": "A number and its unit: " + ", ".join(fitting) + ".",
    }
