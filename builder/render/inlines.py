"""Running text as markup, on pages and in books: one function, since nothing else is called as often.

As macros of a template it took half of the time of all pages. A ``Marker`` decides; this only writes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup, escape

from builder.pages.blocks import Absent, Code, Day, English, Fig, Inlines, Link, Strong, Tally, Text

if TYPE_CHECKING:
    from builder.render.markup import Marker

LONG_CODE = 24
"""A longer key may be broken over lines."""


def inlines(nodes: Inlines, at: Marker) -> Markup:
    """The markup of some text."""
    return Markup(_all(nodes, at, linked=False))  # noqa: S704 - every part of it is escaped below


def _all(nodes: Inlines, at: Marker, *, linked: bool) -> str:
    """The same; inside a link nothing leads anywhere itself."""
    return "".join([_inline(node, at, linked=linked) for node in nodes])


def _inline(node: object, at: Marker, *, linked: bool) -> str:
    match node:
        case Text(text=text):
            return escape(at.words(text))
        case Fig():
            return _figure(node, at, linked=linked)
        case Link():
            return _link(node, at, linked=linked)
        case Strong(content=content):
            return f"<strong{_attribute('class', at.strong_class(node))}>{_all(content, at, linked=linked)}</strong>"
        case Code(text=text):
            long = ' class="long"' if len(text) > LONG_CODE else ""
            return f"<code{long}>{escape(at.words(text))}</code>"
        case English(content=content):
            return f'<span lang="en" dir="ltr">{_all(content, at, linked=linked)}</span>'
        case Day(text=text, day=day):
            return f'<span class="day" data-until="{escape(day)}">{escape(text)}</span>'
        case Tally(text=text, days=days):
            counts = "" if at.paper else " ".join(f"{day}:{count}" for day, count in days)
            return f"<span{_attribute('data-tally', counts)}>{escape(text)}</span>"
        case Absent(reason=reason):
            return f'<span class="absent">{escape(at.words(reason))}</span>'
    return at.refuse(f"cannot print {type(node).__name__}")


def _attribute(name: str, value: str) -> str:
    """An attribute, or nothing where it would be empty."""
    return f' {name}="{escape(value)}"' if value else ""


def _link(node: Link, at: Marker, *, linked: bool) -> str:
    href, kind = at.href(node), at.link_class(node)
    if not href or linked:
        return f"{_all(node.content, at, linked=linked)}{escape(at.section(node))}"
    head = f'<a{_attribute("class", kind)} href="{escape(href)}"{_attribute("hreflang", at.tongue(node.target))}>'
    return f"{head}{_all(node.content, at, linked=True)}</a>{escape(at.section(node))}"


def _figure(node: Fig, at: Marker, *, linked: bool) -> str:
    mark, kind = at.figure(node), "fig decisive" if node.decisive else "fig"
    text, unit = escape(mark.text), f"&nbsp;{escape(mark.unit)}" if mark.unit else ""
    due = _attribute("data-due", mark.due)
    if mark.href and not linked:
        told = _attribute("hreflang", at.tongue(f"figure:{node.key}")) + _attribute("dir", at.way(mark)) + due
        return f'<a class="{kind}" href="{escape(mark.href)}"{told}><span>{text}</span>{unit}</a>'
    if at.unmarked:
        words = escape(at.whole(mark))
        return f'<span class="{kind}">{words}</span>' if node.decisive else words
    if at.paper:
        return f'<span class="{kind}">{text}{unit}</span>'
    return f'<span class="{kind}"{due}><span>{text}</span>{unit}</span>'
