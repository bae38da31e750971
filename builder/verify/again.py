"""A site held against what its content says again: pages and files of data byte by byte, PDFs word by word."""

import re
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import Future
from contextlib import suppress
from dataclasses import replace
from difflib import SequenceMatcher
from html import unescape
from itertools import islice
from pathlib import Path

from builder.base.errors import ArchiveError
from builder.base.plain_pickle import packed, unpacked
from builder.publish.checksums import digest
from builder.render.source_words import SourceWords
from builder.verify.paper import read_paper
from builder.verify.reading import Reading
from builder.verify.report import Check, Difference
from builder.verify.words import SHOWN, paper_differences

UNTOLD = re.compile(r"<(script|style)\b.*?</\1>|<!--.*?-->", re.DOTALL)
TAG = re.compile(r"<[^>]*>")
TEXTS = (".css", ".csv", ".ics", ".js", ".json", ".md", ".txt", "trusted-signers")
"""Endings of files whose lines can be shown."""
WORDS_ALONE = (
    "of PDFs their words were compared, not what is only drawn, as square codes, lines and boxes are: --rebuild of a "
    "site compares every byte"
)
MOST = 25
"""Differences that are told of one file."""
FAR = 4000
"""Words between the first and the last difference that are still compared one by one."""


class Papers:
    """PDFs held against the words that they must say, each once: a frozen one stands in the site a second time."""

    def __init__(self, hands: Reading) -> None:
        self._hands = hands
        self._read: dict[str, Future[bytes | Difference]] = {}
        """By the digest of its bytes."""
        self._coming: dict[tuple[str, str], Future[tuple[Difference, ...]]] = {}
        """By the digests of their bytes and of their words."""

    def read(self, files: Iterable[Path]) -> None:
        """Begin to read PDFs, the longest first; one that cannot be opened is told when it is compared."""
        found = []
        for file in files:
            with suppress(OSError):
                found.append(file.read_bytes())
        for data in sorted(found, key=len, reverse=True):
            self._reading(data)

    def _reading(self, found: bytes) -> Future[bytes | Difference]:
        key = digest(found)
        if key not in self._read:
            self._read[key] = self._hands.begin(paper_read, found)
        return self._read[key]

    def begin(self, wanted: bytes, found: bytes) -> None:
        """Begin to compare one, once it is read."""
        key = digest(found), digest(wanted)
        if key not in self._coming:
            self._coming[key] = self._hands.begin(paper_held, wanted, self._reading(found).result())

    def differences(self, path: str, wanted: bytes, found: bytes) -> Iterator[Difference]:
        """What is wrong with it, where ``path`` names it."""
        self.begin(wanted, found)
        for one in self._coming[digest(found), digest(wanted)].result():
            yield replace(one, path=path)


def paper_read(found: bytes) -> bytes | Difference:
    """A PDF that was read, packed for another process, or why it cannot be read."""
    try:
        return packed(read_paper(found, ""))
    except ArchiveError as fault:
        return Difference("", str(fault).strip())


def paper_held(wanted: bytes, read: bytes | Difference) -> tuple[Difference, ...]:
    """What a PDF says otherwise than the words of its source; no more than are told of one file."""
    if isinstance(read, Difference):
        return (read,)
    told = tuple(islice(paper_differences("", SourceWords.read(wanted), unpacked(read)), MOST + 1))
    return told if len(told) <= MOST else (*told[:MOST], Difference("", "and more words besides"))


def compare_files(root: Path, said: Mapping[str, bytes], check: Check, papers: Papers) -> None:
    """Hold files below ``root`` against what must stand there; a PDF may be given as the words of its source."""
    spoken = [path for path in said if path.endswith(".pdf") and _only_words(path, said[path])]
    if spoken and WORDS_ALONE not in check.note:
        check.add_note(WORDS_ALONE)
    papers.read(root / path for path in spoken)
    for path in spoken:
        with suppress(OSError):  # told below
            papers.begin(said[path], (root / path).read_bytes())
    for path, wanted in said.items():
        check.compared(file_differences(root, path, wanted, papers))


def _only_words(path: str, wanted: bytes) -> bool:
    return path.endswith(".pdf") and not wanted.startswith(b"%PDF")


def file_differences(root: Path, path: str, wanted: bytes, papers: Papers) -> Iterator[Difference]:
    """What is wrong with one file."""
    try:
        found = (root / path).read_bytes()
    except OSError:
        yield Difference(path, "is missing, though the content makes it")
        return
    if found == wanted:
        return
    if _only_words(path, wanted):
        yield from papers.differences(path, wanted, found)
    elif path.endswith(".html"):
        old, new = _words(wanted), _words(found)
        if old == new:  # an address, or what only a script or a screen reader is told
            old, new = (data.decode(errors="replace").split("\n") for data in (wanted, found))
        yield from _lines(path, old, new, "words")
    elif path.endswith(TEXTS):
        old, new = (data.decode(errors="replace").split("\n") for data in (wanted, found))
        yield from _lines(path, old, new, "lines")
    else:
        yield Difference(path, "is not what the content makes")


def _words(page: bytes) -> list[str]:
    """What a page says, word by word."""
    return unescape(TAG.sub(" ", UNTOLD.sub(" ", page.decode(errors="replace")))).split()


def _lines(path: str, wanted: list[str], found: list[str], what: str) -> Iterator[Difference]:
    """The parts that differ."""
    for number, (old, new) in enumerate(parted(wanted, found)):
        if number == MOST:
            yield Difference(path, f"and more {what} besides")
            return
        yield Difference(path, f"says other {what}", *_shown(" ".join(old), " ".join(new)))


def _shown(wanted: str, found: str) -> tuple[str, str]:
    """As much of two long texts as shows where they part."""
    same = next((at for at, pair in enumerate(zip(wanted, found, strict=False)) if pair[0] != pair[1]), 0)
    first = max(0, same - SHOWN // 4) if max(len(wanted), len(found)) > SHOWN else 0
    return wanted[first : first + SHOWN], found[first : first + SHOWN]


def parted(wanted: list[str], found: list[str]) -> Iterator[tuple[list[str], list[str]]]:
    """The parts in which two lists differ.

    >>> list(parted("set to 19.5 now".split(), "set to 18.5 now".split()))
    [(['19.5'], ['18.5'])]
    """
    first, most = 0, min(len(wanted), len(found))
    while first < most and wanted[first] == found[first]:
        first += 1
    last = 0
    while last < most - first and wanted[-1 - last] == found[-1 - last]:
        last += 1
    old, new = wanted[first : len(wanted) - last], found[first : len(found) - last]
    if max(len(old), len(new)) > FAR:
        yield old, new
        return
    for kind, a1, a2, b1, b2 in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if kind != "equal":
            yield old[a1:a2], new[b1:b2]
