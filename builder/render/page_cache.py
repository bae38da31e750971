"""Rendered pages, kept by all that they were made from: the page, and each answer that its rendering asked for.

A page's text tells which figures and links are asked for, but only rendering knows them all. So what was asked is noted
while a page is rendered; next time the answers to those questions decide whether it would be rendered the same. One
entry tells it of all pages, with the hash of each document: one that stands in the site already is not even read.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from hashlib import sha256
from itertools import islice
from typing import Any, Generic, NamedTuple, TypeVar

from builder.base.digest import quick_digest
from builder.base.spool import Spool
from builder.base.store import NoStore, Store

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


class Told(NamedTuple):
    """What is told of a page that was rendered."""

    asked: Sequence[Sequence[str]]
    """Keys that were asked for, of each of what may be asked."""
    key: str
    """What its document is kept under: a hash of the page and of the answers."""
    digest: str
    """SHA-256 of the document."""
    beside: Any
    """What was made beside it."""


class Rendered(NamedTuple):
    """A page's document, made or kept."""

    digest: str
    """Its SHA-256."""
    made: bytes | None
    """The document, where it was made; ``data`` has it in any case."""
    kept: Callable[[], bytes]
    """Gives it where it was not."""
    beside: Any
    """What was made beside it: lists and texts."""

    def data(self) -> bytes:
        """The document."""
        return self.kept() if self.made is None else self.made

    def put(self, files: Spool, path: str) -> None:
        """Into the files of a site; what is kept is not read for it."""
        if self.made is None:
            files.put_later(path, self.digest, self.kept)
        else:
            files[path] = self.made


class PageCache(Generic[T]):
    """Renders pages, or other records whose text or answers are new, and hands out what is kept of the others."""

    def __init__(
        self,
        store: Store,
        basis: str,
        known: Sequence[Mapping[str, object]],
        render: Callable[..., bytes],
        beside: Callable[..., Any] = lambda *_: None,
        counted: Counter[str] | None = None,
        *,
        told: Mapping[str, str] | None = None,
        documents: bool = True,
    ) -> None:
        """``basis`` is a hash of all else that decides a page: code, templates, libraries, what all pages say.

        :param known: what may be asked, as figures and links.
        :param render: called with a page and each of ``known``.
        :param beside: called likewise for what else is wanted of a page, in the form that JSON has.
        :param counted: ``pages`` that are rendered are counted in it, one that is found missing when it is read too.
        :param told: texts that tell answers of the first of ``known`` from any others, where they were made already.
        :param documents: False keeps no document, only what tells that the one in the old site is still right: for
            what is made again about as quickly as it is read.
        """
        self._store = store
        self._basis = basis
        self._known = tuple(known)
        self._render = render
        self._beside = beside
        self._documents = documents
        self._counted = Counter[str]() if counted is None else counted
        self._answers: tuple[dict[str, str], ...] = tuple({} for _ in self._known)
        if told is not None:
            self._answers[0].update(told)
        self._place = quick_digest("pages", basis)
        self._before: dict[str, Told] = {}
        with suppress(ValueError, TypeError, AttributeError):  # any bytes may stand there, and all is made anew
            self._before = {own: Told(*told) for own, told in json.loads(store.get(self._place) or b"{}").items()}
        self._told: dict[str, Told] = {}
        self.made = 0
        """How many pages had to be rendered."""

    def keep(self) -> None:
        """Keep what is told of these pages, once they are rendered, and of as many others: an edit may be undone."""
        if any(self._before.get(own) is not told for own, told in self._told.items()):
            others = (own for own in self._before if own not in self._told)
            earlier = {own: self._before[own] for own in islice(others, len(self._told))}
            self._store.put(self._place, json.dumps(self._told | earlier).encode())

    def rendered(self, page: T) -> Rendered:
        """The document of ``page``."""
        if isinstance(self._store, NoStore):  # what it was made from is asked by nobody
            return self._made(page, self._known)
        own = quick_digest(self._basis, page)
        told = self._before.get(own)
        if told is None:
            return self._anew(page, own)
        key = self._key(own, told.asked)
        if key != told.key:
            data = self._store.get(key)  # an edit was undone
            if data is None:
                return self._anew(page, own)
            told = Told(told.asked, key, sha256(data).hexdigest(), self._beside(page, *self._known))
        self._told[own] = told
        return Rendered(told.digest, None, lambda: self._kept(page, own, key), told.beside)

    def _kept(self, page: T, own: str, key: str) -> bytes:
        data = self._store.get(key)
        return self._anew(page, own).data() if data is None else data

    def _anew(self, page: T, own: str) -> Rendered:
        noted = [Noted(known) for known in self._known]
        made = self._made(page, noted)
        if not any(one.listed for one in noted):
            asked = [list(one.asked) for one in noted]
            key = self._key(own, asked)
            self._told[own] = Told(asked, key, made.digest, made.beside)
            if self._documents:
                self._store.put(key, made.data())
        return made

    def _made(self, page: T, known: Sequence[Mapping[str, object]]) -> Rendered:
        data, beside = self._render(page, *known), self._beside(page, *known)
        self.made += 1
        self._counted["pages"] += 1
        return Rendered(sha256(data).hexdigest(), data, lambda: data, beside)

    def _key(self, own: str, asked: Sequence[Sequence[str]]) -> str:
        """Hash of a page's text and of the answers to what it asks."""
        pieces = [own]
        for known, told, keys in zip(self._known, self._answers, asked, strict=True):
            for key in keys:
                if key not in told:  # made once, since many pages ask for the same
                    told[key] = repr(known.get(key))
                pieces.append(told[key])
        return sha256("\n".join(pieces).encode("utf-8", "surrogatepass")).hexdigest()
