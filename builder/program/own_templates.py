"""A site's own templates: pages that they write, and blocks of cards."""

from collections.abc import Iterable, Mapping
from dataclasses import field

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.content import Documents
from builder.load.markdown import Document, ProseNode
from builder.load.nodes import Entries, Node, Scalar
from builder.load.own_templates import Template, content_of, expanded, plain_of
from builder.program.faults import Faults
from builder.program.localized import LocalizedText
from builder.program.prose import Prose, ProsePage, judge_prose, read_page
from builder.program.reading import Fields
from builder.program.values import ID, check_id

FOR = ("page", "card")


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnBlock:
    """A block of cards that the site writes itself."""

    title: Given[str]
    template: Template


@dataclass(slots=True)
class OwnTemplates:
    """All templates of a site, and what they are given."""

    structured: Mapping[str, Node]
    faults: Faults
    pages: list[Template] = field(default_factory=list)
    blocks: dict[str, dict[str, OwnBlock]] = field(default_factory=dict)
    """By the name of the block, by language; the site's first language is among them."""

    def read_pages(self, written: Iterable[Document]) -> dict[str, ProsePage]:
        """The pages that somebody wrote and those that templates write, by id."""
        documents = [*written, *(self._page(template) for template in self.pages)]
        return {page.id: page for page in (read_page(document, self.faults) for document in documents)}

    def _page(self, template: Template) -> Document:
        body = self._unjudged(template, content_of(self.structured, self.faults.languages[0], self.faults.languages))
        entries = tuple((key, node) for key, node in template.front.entries if key.text != "for")
        front = Entries(entries, template.front.where)
        return Document(template.start.file, front, body)

    def block(self, name: str, card: Node) -> tuple[LocalizedText, Prose]:
        """Title and prose of a block on a card, in every language it has; templates are given the card and its area."""
        texts = self.blocks[name]
        first = self.faults.languages[0]
        made = {language: self._said(own, card, language) for language, own in texts.items()}
        main = texts.get(first) or next(iter(texts.values()))
        titles = {language: own.title for language, own in texts.items() if language != first}
        others = {language: prose for language, prose in made.items() if language != first}
        body = Prose(nodes=made[first].nodes, where=main.template.start, text=main.template.body, others=others)
        return LocalizedText(main.title.value, main.title.where, main.title.text, titles), body

    def _said(self, own: OwnBlock, card: Node, language: str) -> Prose:
        given = content_of(self.structured, language, self.faults.languages)
        given["card"] = plain_of(card, language, self.faults.languages)
        name = card.get("area") if isinstance(card, Entries) else None
        areas = given["areas"] if isinstance(given["areas"], list) else []
        area = name.text if isinstance(name, Scalar) else ""
        given["area"] = next((one for one in areas if isinstance(one, dict) and one.get("id") == area), {})
        nodes = self._unjudged(own.template, given)
        judge_prose(nodes, self.faults)
        return Prose(nodes=nodes, where=own.template.start, text=own.template.body)

    def _unjudged(self, template: Template, given: Mapping[str, object]) -> tuple[ProseNode, ...]:
        nodes, problems = expanded(template, given)
        self.faults.problems += problems
        return nodes


def read_templates(documents: Documents, faults: Faults) -> OwnTemplates:
    """The templates of a content folder; those of cards are told to ``faults`` by who reads cards."""
    made = OwnTemplates(documents.structured, faults)
    for path, template in sorted(documents.templates.items()):
        fields = Fields(template.front, faults, "template", Where(path, 1))
        kind = fields.choice("for", FOR)
        if "block" in fields if kind.value != kind.text else kind.value == "card":
            _own_block(fields, template, made)
            fields.close()
        else:
            made.pages.append(template)
    first = faults.languages[0]
    for name, texts in list(made.blocks.items()):
        if first not in texts:
            where = next(iter(texts.values())).template.front.where
            faults.lacks(where, f"block {name!r} has no template in {first}", f"one without language, or with {first}")
            del made.blocks[name]
    return made


def _own_block(fields: Fields, template: Template, made: OwnTemplates) -> None:
    faults = fields.faults
    name = fields.text("block")
    check_id(name, ID, "lower-case letters, digits and single hyphens", faults)
    language = fields.choice("language", faults.languages, faults.languages[0]).value
    known = made.blocks.setdefault(name.value, {})
    if language in known:
        found = f"block {name.value!r} has a template in {language} already (at {known[language].template.front.where})"
        faults.twice(name.where, found, "one template a block and language")
        return
    known[language] = OwnBlock(title=fields.text("title"), template=template)
