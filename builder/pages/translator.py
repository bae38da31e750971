"""Says things in one language: the builder's texts and those of the content; and which of them a paper prints.

One translator serves one paper while that is composed, and is where its missing translations are gathered.
"""

from collections.abc import Iterable
from dataclasses import field
from typing import Generic, Protocol, TypeVar

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.figures.ledger import Ledger
from builder.pages.blocks import Fig, Inline, Inlines, Text
from builder.pages.handbook.labels import channel_word
from builder.pages.numbers import spoken
from builder.pages.wording import NotingWording
from builder.program.languages import ENGLISH
from builder.program.localized import LocalizedText
from builder.program.program import Program


def wording_of(program: Program, language: str) -> NotingWording:
    """The builder's words in a language, those first that the site says in their place."""
    said = {tag: {text: one.says.value for text, one in own.items()} for tag, own in program.translations.items()}
    own = said.get(language, {})
    return NotingWording(language=language, own=own, reworded={} if language == ENGLISH else said.get(ENGLISH, {}))


class Named(Protocol):
    """An area, a model, a sensor or a check."""

    @property
    def name(self) -> str:
        """Its name in the site's first language."""

    @property
    def names(self) -> LocalizedText | None:
        """The same in every language it has."""

    @property
    def where(self) -> Where:
        """Its line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Translator:
    """Whoever composes something in one language asks this for every word."""

    program: Program
    wording: NotingWording = field(default_factory=lambda: NotingWording(language=ENGLISH))
    missed: dict[tuple[Where, str], None] = field(default_factory=dict)
    """Content texts that have no translation, with their places."""

    @property
    def language(self) -> str:
        """The language that is spoken."""
        return self.wording.language

    def text(self, text: str, **values: str) -> str:
        """One of the builder's own texts."""
        return self.wording.text(text, **values)

    def words(self, text: str, **values: str) -> Inlines:
        """The same as inline content."""
        return (Text(self.text(text, **values)),)

    def sentence(self, text: str, **parts: Inlines | str) -> Inlines:
        """One of the builder's own texts with figures or words in its places."""
        made: list[Inline] = []
        for number, part in enumerate(self.wording.parts(text)):
            value = parts[part] if number % 2 else part
            made += [Text(value)] * bool(value) if isinstance(value, str) else value
        return tuple(made)

    def content_text(self, given: Given[str]) -> str:
        """A text of the content; in the site's first language, and noted, where there is none in this one."""
        first = self.program.site.languages[0].value
        said = given if isinstance(given, LocalizedText) else LocalizedText(given.value, given.where, given.text)
        found = said.within(self.language, first)
        if found is None:
            self.missed[given.where, given.value] = None
        return found.value if found else given.value

    def named(self, thing: Named) -> str:
        """The name of an area, a model, a sensor or a check."""
        return self.content_text(thing.names or Given(thing.name, thing.where, thing.name))

    def gas(self, gas_id: str) -> str:
        """The name of a gas: the site's own, or that of the library where the builder has a translation of it."""
        gas = self.program.gases[gas_id]
        own = gas.called is not None and (bool(gas.called.others) or not self.wording.has(gas.name))
        return self.content_text(gas.called) if gas.called and own else self.text(gas.name)

    def channel(self, channel: str) -> str:
        """A channel as a reader sees it."""
        return channel_word(self.program, channel, self.text)

    def accepted(self, ledger: Ledger, low: str, high: str, *, bare: bool = False) -> Inlines:
        """At which readings a site lets people go in or begin hot work: from one figure to another, or up to it.

        Nothing where the site sets no upper one. The unit stands once.
        """
        if high not in ledger:
            return ()
        top: Inlines = (Fig(high, bare=bare, decisive=True),)
        if low in ledger:
            return self.sentence("{low} to {high}", low=(Fig(low, bare=True, decisive=True),), high=top)
        return self.sentence("up to {high}", high=top) if ledger[high].rounded else top


# ---- the texts of a paper ------------------------------------------------------------------


T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperTexts:
    """The texts of one paper in one language."""

    paper: str
    """The id of a card; of others what they are and which, as in ``labels small``."""
    language: Given[str]
    """As the content asks for it."""
    asked: tuple[str, ...]
    """The builder's own texts that it prints."""
    missing: tuple[tuple[Where, str], ...]
    """Those without translation, and texts of the content without, each with the line that asks for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Composition(Generic[T]):
    """Papers as they will be set, with the texts that each of them prints."""

    papers: tuple[T, ...]
    texts: tuple[PaperTexts, ...]
    """A paper in two languages has two."""


def paper_texts(
    paper: str,
    language: Given[str],
    translator: Translator,
    fixed: Iterable[str],
    figures: Iterable[str],
    ledger: Ledger,
) -> PaperTexts:
    """What a translator was asked for while a paper was composed, and what is added when it is set.

    :param fixed: texts that stand on every such paper.
    :param figures: keys of the figures that it prints; some have words.
    """
    wording = translator.wording
    for text in fixed:
        wording.text(text)
    for key in dict.fromkeys(figures):
        spoken(ledger[key], wording)
    missing = (*translator.missed, *((language.where, text) for text in wording.missing))
    return PaperTexts(paper=paper, language=language, asked=tuple(wording.asked), missing=missing)
