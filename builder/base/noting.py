"""How readers note faults: one short word for each kind."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from typing import Any

from builder.base.fault_kinds import Kind
from builder.base.nearest import Close


def _of(kind: Kind) -> Callable[..., None]:
    """A method that notes a fault of this kind: where it is, what was found, what is allowed, and close names."""

    def noted(self: Noting, where: Any, found: str, allowed: str = "", close: Close = ()) -> None:
        self.note(kind, where, found, allowed, close)

    return noted


class Noting(ABC):
    """Collects faults."""

    @abstractmethod
    def note(self, kind: Kind, where: Any, found: str, allowed: str, close: Close) -> None:
        """Note one fault; close names are not looked for where a file has more faults than will be told."""

    add = _of(Kind.CONFLICT)
    missing_file = _of(Kind.FILE_MISSING)
    encoding = _of(Kind.ENCODING)
    too_big = _of(Kind.TOO_BIG)
    hidden = _of(Kind.HIDDEN)
    form = _of(Kind.TABLE_FORM)
    prose = _of(Kind.PROSE_FORM)
    typed = _of(Kind.TYPED_NUMBER)
    key = _of(Kind.KEY_UNKNOWN)
    lacks = _of(Kind.KEY_MISSING)
    shape = _of(Kind.SHAPE)
    choice = _of(Kind.CHOICE)
    id_form = _of(Kind.ID_FORM)
    number = _of(Kind.NUMBER)
    time = _of(Kind.TIME)
    range = _of(Kind.RANGE)
    twice = _of(Kind.TWICE)
    unknown = _of(Kind.NAME_UNKNOWN)
    speech = _of(Kind.TRANSLATION)
