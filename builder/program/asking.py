"""What readers ask for, told to whoever watches; nobody does in an ordinary run."""

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any, Protocol, TypeVar, cast

from builder.load.nodes import Entries

Method = TypeVar("Method", bound=Callable[..., Any])


class Watch(Protocol):
    """Whoever wants to know what readers ask for."""

    def asked(self, node: Entries, key: str, how: str, args: tuple[Any, ...], others: Mapping[str, Any]) -> None:
        """A key of a mapping was asked for: the reader's name, and what it was told beside the key."""


def asking(method: Method) -> Method:
    """A reader of ``Fields`` that tells what is asked of it; what it asks on its own way is its own affair."""

    @wraps(method)
    def told(self: Any, key: str, *args: Any, **others: Any) -> Any:
        watch = self.faults.watch
        if watch is None or self.telling:
            return method(self, key, *args, **others)
        watch.asked(self.node, key, method.__name__, args, others)
        self.telling = True
        try:
            return method(self, key, *args, **others)
        finally:
            self.telling = False

    return cast("Method", told)
