"""Reads rendered HTML back as elements, refusing markup that is not properly nested."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"meta", "link", "br", "img", "input", "hr", "wbr"}


@dataclass(eq=False)
class Element:
    tag: str
    attributes: dict[str, str | None]
    parents: tuple[Element, ...] = field(default=(), repr=False)
    text: str = ""
    children: list[Element] = field(default_factory=list, repr=False)

    def inside(self, tag):
        return any(parent.tag == tag for parent in self.parents)

    @property
    def classes(self):
        return (self.attributes.get("class") or "").split()


class Reader(HTMLParser):
    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.elements = []
        self.open = []
        self.feed(text)
        self.close()
        assert not self.open, f"left open: {[element.tag for element in self.open]}"

    def handle_starttag(self, tag, attrs):
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"<{tag}> has an attribute twice: {names}"
        element = Element(tag, dict(attrs), tuple(self.open))
        if self.open:
            self.open[-1].children.append(element)
        self.elements.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_endtag(self, tag):
        assert self.open, f"</{tag}> closes nothing"
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data):
        for element in self.open:
            element.text += data

    def all(self, *tags, cls=None):
        found = [element for element in self.elements if element.tag in tags]
        return [element for element in found if cls in element.classes] if cls else found

    def one(self, tag, cls=None):
        (found,) = self.all(tag, cls=cls)
        return found

    def ids(self):
        return [element.attributes["id"] for element in self.elements if "id" in element.attributes]
