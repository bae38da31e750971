"""What the pages of a site say in one language, and which of their texts have no translation."""

import re
from collections.abc import Mapping
from dataclasses import field, replace
from functools import cache

from builder.base.record import dataclass
from builder.pages.blocks import Absent, English, Inline, Inlines, Link, Strong, Text
from builder.pages.languages.runs import LETTER, ambiguous, has_words, message_of, run_of
from builder.pages.wording import PAGES, catalogue_of
from builder.program.languages import LANGUAGES
from builder.program.program import Program

JOINTS = {"; ": "", ", or ": "or", " and ": "and", ", ": ""}
"""What parts the names of a list, with the word in it; names hold the last one themselves."""
MIRRORED = str.maketrans(";,", "\N{ARABIC SEMICOLON}\N{ARABIC COMMA}")
"""What stands between the names of a list where it is read from right to left."""
EDGE = re.compile(r"([\s;,]*)(.*?)([\s;,]*)", re.DOTALL)
"""What stands around the words of a part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """One language; notes what it is asked for, so that nothing is left out of what a translator gets."""

    language: str
    texts: Mapping[str, str]
    """Every text that is known in the language, by its English."""
    names: frozenset[str]
    """Every text, in English, that may stand in a list of names."""
    asked: dict[str, str] = field(default_factory=dict)
    """Text -> the first page that asked for it."""
    parts: dict[str, tuple[Inline, ...]] = field(default_factory=dict)
    """Text -> what its marks stood for there."""
    missing: dict[str, dict[str, None]] = field(default_factory=dict)
    """Page -> texts on it without translation."""

    def said(self, text: str, page: str) -> str | None:
        """A text in the language; the same with a capital first letter, or a small one, counts."""
        if not LETTER.search(text):
            return text
        self.asked.setdefault(text, page)
        found = self.texts.get(text) or self._cased(text)
        if found is None:
            self.missing.setdefault(page, {})[text] = None
        return found

    def _cased(self, text: str) -> str | None:
        other = self.texts.get(_turned(text))
        if other is None or (LANGUAGES[self.language].capital_nouns and text[:1].islower()):
            return other
        return (other[:1].upper() if text[:1].isupper() else other[:1].lower()) + other[1:]

    def listed(self, text: str, page: str) -> str | None:
        """A name, or several in one text: each of them by itself, and nothing where one has no translation."""
        found = () if self._named(text) else ((joint, self._parted(joint, text)) for joint in JOINTS)
        joint, names = next((one for one in found if one[1]), ("", ()))
        if not names:
            return self.said(text, page)
        words = [self.listed(name, page) for name in names]
        word = self.said(JOINTS[joint], page) if JOINTS[joint] else ""
        mark = self._points(joint.replace(JOINTS[joint] or joint, word or joint))
        return None if None in words or word is None else mark.join(filter(None, words))

    def _named(self, text: str) -> bool:
        """Whether a text is one name."""
        return text in self.names or _turned(text) in self.names or not LETTER.search(text)

    def _parted(self, joint: str, text: str) -> tuple[str, ...]:
        """The names that a text joins, told by the English alone, since a name may hold a joint itself; else none."""
        parts = text.split(joint)
        for end in range(1, len(parts)):
            first, rest = joint.join(parts[:end]), joint.join(parts[end:])
            others = (rest,) if self._whole(rest) else self._parted(joint, rest)
            if others and self._whole(first):
                return (first, *others)
        return ()

    def _whole(self, text: str) -> bool:
        """Whether a text is one name, or several that another joint parts."""
        return self._named(text) or any(self._parted(joint, text) for joint in JOINTS)

    # ---- runs ------------------------------------------------------------------

    def run(self, nodes: Inlines, page: str) -> Inlines:
        """A run in the language; as it is, and marked so, where it has no translation."""
        text, parts = message_of(nodes)
        core = text.strip()
        if not has_words(core):
            return tuple(self._part(node, page) for node in nodes)
        said = None if ambiguous(nodes) else self.said(core, page)
        self.parts.setdefault(core, parts)
        if said is None:
            return (English(nodes),)
        start = text[: len(text) - len(text.lstrip())]
        return tuple(self._filled(node, page) for node in run_of(start + said + text[len(text.rstrip()) :], parts))

    def _part(self, node: Inline, page: str) -> Inline:
        """A node that is translated by itself."""
        if isinstance(node, Text) and node.apart:
            before, words, after = EDGE.fullmatch(node.text).groups()  # type: ignore[union-attr]  # fits any text
            said = self.listed(words, page)
            if said is None:
                return English((Text(node.text),))
            return Text(self._points(before) + said + self._points(after))
        if isinstance(node, (Strong, Link)):
            return replace(node, content=self.run(node.content, page))
        if isinstance(node, Absent):
            return Absent(said) if (said := self.said(node.reason, page)) is not None else English((node,))
        return Text(self._points(node.text)) if isinstance(node, Text) else node

    def _points(self, text: str) -> str:
        """What parts words, as the language writes it."""
        return text.translate(MIRRORED) if LANGUAGES[self.language].right_to_left else text

    def _filled(self, node: Inline, page: str) -> Inline:
        """A node of a translated run: only what its marks stand for is left to do."""
        if isinstance(node, (Strong, Link)):
            return replace(node, content=tuple(self._filled(part, page) for part in node.content))
        return self._part(node, page)


def speech_of(program: Program, language: str) -> Speech:
    """What a site can say in a language: its folder of translations first, then its other texts, the builder's last."""
    own = {english: one.says.value for english, one in program.translations.get(language, {}).items()}
    content = {
        text.value: text.others[language].value for text in reversed(program.localized) if language in text.others
    }
    known = built_in(language)
    names = frozenset((*known, *(text.value for text in program.localized)))
    return Speech(language=language, texts={**known, **content, **own}, names=names)


def _turned(text: str) -> str:
    """The text with a small first letter in place of a capital one, or the other way round."""
    first = text[:1]
    return (first.lower() if first.isupper() else first.upper()) + text[1:]


@cache
def built_in(language: str) -> Mapping[str, str]:
    """The builder's own texts: those of papers, and those of pages."""
    return {**catalogue_of(language).texts, **catalogue_of(language, PAGES).texts}
