"""A language that nobody speaks: every text that was looked up stands in ⟦ ⟧, every text of the content in ⟨ ⟩.

What is printed outside such marks was never looked up, so it would be English in every language.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import contextmanager
from dataclasses import replace
from html.parser import HTMLParser
from unittest import mock

from builder.pages import wording
from builder.pages.cards.context import CardContext
from builder.pages.wording import Catalogue
from builder.program.localized import LETTER, LocalizedText
from builder.program.prose import BRACED

SPOKEN = "es"
"""The language whose catalogue and translations are taken away for it."""
MARKED = re.compile(r"⟦[^⟦⟧⟨⟩]*⟧|⟨[^⟦⟧⟨⟩]*⟩")
WORD = re.compile(r"[^\W\d_]+")
SAID_IN = ("alt", "title", "aria-label", "content")
"""Attributes whose words a reader may meet."""
EMPTY = ("meta", "link", "img", "br", "hr", "input")


class Marks(Mapping):
    """A translation of every text: the text itself, in marks."""

    def __getitem__(self, text):
        return f"⟦{text}⟧"

    def __iter__(self):
        return iter(())

    def __len__(self):
        return 0


class Plurals(Marks):
    """The same for words that are counted."""

    def get(self, text, _=()):
        return (self[text],)


@contextmanager
def spoken_by_nobody():
    """Inside it, whatever is said in ``SPOKEN`` is said in marks."""
    catalogue = Catalogue(texts=Marks(), plurals=Plurals(), form=lambda _: 0)
    nodes_of = CardContext._nodes_of

    def within(said, language, first):
        marked = language != first and LETTER.search(said.value)
        return replace(said, value=f"⟨{said.value}⟩" if marked else said.value)

    with (
        mock.patch.object(wording, "catalogue_of", return_value=catalogue),
        mock.patch.object(LocalizedText, "within", within),
        mock.patch.object(CardContext, "_nodes_of", lambda self, prose: tuple(map(_marked, nodes_of(self, prose)))),
    ):
        yield


def _marked(node):
    """Prose in marks, with its figures outside them."""
    text = node.text
    if text and node.kind in ("text", "code"):
        text = f"⟨{BRACED.sub(lambda braces: f'⟩{braces[0]}⟨', text)}⟩"
    return replace(node, text=text, children=tuple(map(_marked, node.children)))


class Printed(HTMLParser):
    """The words of a document: those of figures, and all others in reading order."""

    def __init__(self, html):
        super().__init__()
        self.words = []
        self.figures = []
        self._open = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.words += [given[name] for name in SAID_IN if given.get(name)]
        if tag not in EMPTY:
            figure = "fig" in (given.get("class") or "").split()
            self._open.append(figure or any(self._open[-1:]))
            if figure:
                self.figures.append("")

    def handle_endtag(self, tag):
        if tag not in EMPTY:
            self._open.pop()

    def handle_data(self, data):
        if any(self._open[-1:]):
            self.figures[-1] += data
        else:
            self.words.append(data)


def unmarked(text):
    """The words outside all marks."""
    before = ""
    while text != before:
        before, text = text, MARKED.sub(" ", text)
    return WORD.findall(text)
