"""A page in another language: every run and every plain string of it, in reading order."""

from collections.abc import Iterable
from dataclasses import field, fields, replace

from builder.base.record import dataclass
from builder.pages.blocks import Block, Chart, English, Fold, Heading, ItemList, Notice, Paragraph, Table
from builder.pages.compositions import Page, SpokenPage
from builder.pages.languages.speech import Speech
from builder.pages.reader_tools import Converter, Corrector

OF_FINDINGS = ("stop", "warn", "note")
"""Kinds of notices in which findings speak: in English alone, for who answers for the content."""


@dataclass(slots=True, kw_only=True)
class _Translation:
    speech: Speech
    page: str
    english: set[str] = field(default_factory=set)

    def word(self, text: str) -> str:
        """A head or a caption."""
        said = self.speech.listed(text, self.page) if text else text
        if said is None:
            self.english.add(text)
        return text if said is None else said

    def blocks(self, nodes: Iterable[Block]) -> tuple[Block, ...]:
        return tuple(self.block(node) for node in nodes if not isinstance(node, (Chart, Converter, Corrector)))

    def block(self, node: Block) -> Block:
        if isinstance(node, Heading):
            return self.heading(node)
        if isinstance(node, Paragraph):
            return Paragraph(self.speech.run(node.content, self.page))
        if isinstance(node, ItemList):
            return replace(node, items=tuple(self.blocks(item) for item in node.items))
        if isinstance(node, Table):
            return self.table(node)
        if isinstance(node, Fold):
            return replace(node, heading=self.heading(node.heading), content=self.blocks(node.content))
        if isinstance(node, Notice):
            return _in_english(node) if node.kind in OF_FINDINGS else self.notice(node)
        return node

    def heading(self, node: Heading) -> Heading:
        return replace(node, content=self.speech.run(node.content, self.page))

    def notice(self, node: Notice) -> Notice:
        return replace(node, title=self.word(node.title), content=self.blocks(node.content))

    def table(self, node: Table) -> Table:
        return replace(
            node,
            columns=tuple(self.word(name) for name in node.columns),
            rows=tuple(tuple(self.speech.run(cell, self.page) for cell in row) for row in node.rows),
            caption=self.word(node.caption),
            empty=node.empty if node.rows else self.word(node.empty),
            explained=(),
        )


def _in_english(node: Notice) -> Notice:
    lines = (Paragraph((English(part.content),)) if isinstance(part, Paragraph) else part for part in node.content)
    return replace(node, content=tuple(lines))


def translated(page: Page, speech: Speech) -> SpokenPage:
    """The page in the language of ``speech``, beside the English one; drawings and forms stay on that."""
    one = _Translation(speech=speech, page=page.id)
    known = {name.name: getattr(page, name.name) for name in fields(Page)}
    known |= {
        "id": spoken_id(page.id, speech.language),
        "path": f"{speech.language}/{page.path}",
        "title": one.word(page.title),
        "lead": speech.run(page.lead, page.id),
        "blocks": one.blocks(page.blocks),
        "crumbs": tuple((target, one.word(title)) for target, title in page.crumbs),
    }
    return SpokenPage(**known, language=speech.language, english=tuple(sorted(one.english)))


def spoken_id(page: str, language: str) -> str:
    """The reference of a page in another language.

    >>> spoken_id("area:wet-well", "es")
    'area:wet-well@es'
    """
    return f"{page}@{language}"
