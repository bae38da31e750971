"""Rendered pages, kept by all that they were made from: the page, and each answer that its rendering asked for.

A page's text tells which figures and links are asked for, but only rendering knows them all. So what was asked is noted
while a page is rendered; next time the answers to those questions decide whether it would be rendered the same.
"""

import hashlib
import io
import json
import pickle
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from operator import attrgetter
from typing import Any, Generic, TypeVar

from builder.base.store import Store

T = TypeVar("T")
V = TypeVar("V")


class Noted(Mapping[str, V], Generic[V]):
    """A mapping that notes what it is asked."""

    def __init__(self, known: Mapping[str, V]) -> None:
        self._known = known
        self.asked: dict[str, None] = {}
        """What was asked for, whether it was there or not."""
        self.listed = False
        """Whether all of it was gone through, so that anything may have decided."""

    def __getitem__(self, key: str) -> V:
        self.asked[key] = None
        return self._known[key]

    def __contains__(self, key: object) -> bool:
        self.asked[str(key)] = None
        return key in self._known

    def __iter__(self) -> Iterator[str]:
        self.listed = True
        return iter(self._known)

    def __len__(self) -> int:
        self.listed = True
        return len(self._known)


class PageCache(Generic[T]):
    """Renders pages, or other records whose text or answers are new, and hands out what is kept of the others."""

    def __init__(
        self, store: Store, basis: str, known: Sequence[Mapping[str, object]], render: Callable[..., bytes]
    ) -> None:
        """``basis`` is a hash of all else that decides a page: code, templates, libraries, what all pages say.

        :param known: what may be asked, as figures and links.
        :param render: called with a page and each of ``known``.
        """
        self._store = store
        self._basis = basis.encode()
        self._known = tuple(known)
        self._render = render
        self._answers: tuple[dict[str, str], ...] = tuple({} for _ in self._known)
        self.made = 0
        """How many pages had to be rendered."""

    def rendered(self, page: T) -> bytes:
        """The document of ``page``."""
        own = hashlib.sha256(self._basis + _bytes_of(page)).hexdigest()
        noted = self._store.get(own)
        if noted is not None:
            kept = self._store.get(self._key(own, json.loads(noted)))
            if kept is not None:
                return kept
        return self._anew(page, own)

    def _anew(self, page: T, own: str) -> bytes:
        noted = [Noted(known) for known in self._known]
        data = self._render(page, *noted)
        self.made += 1
        if not any(one.listed for one in noted):
            asked = [list(one.asked) for one in noted]
            self._store.put(own, json.dumps(asked).encode())
            self._store.put(self._key(own, asked), data)
        return data

    def _key(self, own: str, asked: Sequence[Sequence[str]]) -> str:
        """Hash of a page's text and of the answers to what it asks."""
        pieces = [own]
        for known, told, keys in zip(self._known, self._answers, asked, strict=True):
            for key in keys:
                if key not in told:  # made once, since many pages ask for the same
                    told[key] = repr(known.get(key))
                pieces.append(told[key])
        return hashlib.sha256("\n".join(pieces).encode("utf-8", "surrogatepass")).hexdigest()


# ---- a page as bytes ----------------------------------------------------------------


class _Reduced(dict[type, Callable[[Any], tuple[type, tuple[Any, ...]]]]):
    """How to take each kind of record apart: into all of its fields, at once."""

    def __missing__(self, kind: type) -> Callable[[Any], tuple[type, tuple[Any, ...]]]:
        if not is_dataclass(kind):
            raise KeyError(kind)
        names = [part.name for part in fields(kind)]
        whole = attrgetter(*names) if len(names) > 1 else lambda record: (getattr(record, names[0]),)
        self[kind] = lambda record: (kind, whole(record))
        return self[kind]


_REDUCED = _Reduced()


def _bytes_of(page: object) -> bytes:
    """Bytes that differ where pages do, to be hashed and never read back.

    The library's own way asks each of the hundred thousands of records for its list of fields, which takes longer.
    """
    target = io.BytesIO()
    pickler = pickle.Pickler(target, protocol=5)
    pickler.dispatch_table = _REDUCED
    pickler.fast = True  # every part is written out, whether or not another part is the same object
    pickler.dump(page)
    return target.getvalue()
