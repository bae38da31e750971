"""Texts that a card may need in several languages: written plainly, or as a mapping by language.

Plain text is in the site's first language, and so is the value of every ``LocalizedText``: who needs one
language only uses it
like any other ``Given``. A translation has to hold the same numbers and figures as the text it translates.
"""

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import field

from builder.base.nearest import near
from builder.base.record import dataclass
from builder.base.where import Given
from builder.load.nodes import Entries, Items, Node, Scalar, kind_of
from builder.program.faults import Faults
from builder.program.languages import ENGLISH, LANGUAGES
from builder.program.reading import Fields
from builder.program.values import given_of

BRACED = re.compile(r"\{[^{}|]*")
DIGITS = re.compile(r"[0-9]+")
LETTER = re.compile(r"[^\W\d_]")


@dataclass(frozen=True, slots=True)
class LocalizedText(Given[str]):
    """A text in the site's first language, with what it is in others."""

    others: Mapping[str, Given[str]] = field(default_factory=dict)
    """By language; the first is not among them."""
    beside: Mapping[str, Given[str]] = field(default_factory=dict, compare=False)
    """Those of them that stand beside it, whatever the folder of translations has for them."""

    def within(self, language: str, first: str) -> Given[str] | None:
        """The text in a language; a text without letters, such as a number to call, is the same in all."""
        if language == first or not LETTER.search(self.value):
            return self
        return self.others.get(language)


def localized_text(fields: Fields, key: str) -> LocalizedText:
    """A required text."""
    node = fields.need(key)
    return _said(node, fields.faults, key) if node else LocalizedText("", fields.where_of(key), "")


def maybe_localized_text(fields: Fields, key: str) -> LocalizedText | None:
    """An optional text."""
    node = fields.take(key)
    blank = node is None or (isinstance(node, Scalar) and not node.text.strip())
    return None if node is None or blank else _said(node, fields.faults, key)


def localized_texts(fields: Fields, key: str) -> tuple[LocalizedText, ...]:
    """A required list of texts."""
    return tuple(_said(item, fields.faults, key) for item in fields.filled(key, "a list, such as [a, b]"))


def _said(node: Node, faults: Faults, key: str) -> LocalizedText:
    if isinstance(node, Scalar) and node.text.strip():
        return _with_others(given_of(node), {}, faults)
    if not isinstance(node, Entries):
        found = "an empty text" if isinstance(node, Scalar) else kind_of(node)
        faults.shape(node.where, f"{found} for {key!r}", "a text, or a mapping by language such as {en: ..., es: ...}")
        return LocalizedText("", node.where, "")
    return _by_language(node, faults, key)


def _by_language(node: Entries, faults: Faults, key: str) -> LocalizedText:
    first = faults.languages[0]
    texts: dict[str, Given[str]] = {}
    for name, part in node.entries:
        if name.text not in faults.languages:
            allowed = "a language of site.yaml: " + ", ".join(faults.languages)
            faults.speech(name.where, f"{name.text!r} in {key!r}", allowed, near(name.text, faults.languages))
        elif not isinstance(part, Scalar) or not part.text.strip():
            faults.speech(part.where, f"no text for {key!r} in {name.text}", "a text")
        else:
            texts[name.text] = Given(part.text, part.where, part.text)
    if first not in texts:
        faults.speech(
            node.where, f"{key!r} without {first}, the site's first language", f"{first}: ... among the texts"
        )
        return LocalizedText("", node.where, "")
    original = texts.pop(first)
    for language, text in texts.items():
        _same_numbers(original, language, text, faults)
    return _with_others(original, texts, faults)


def _with_others(original: Given[str], texts: Mapping[str, Given[str]], faults: Faults) -> LocalizedText:
    """A text with its translations; those of the folder of translations were read last, and come first."""
    found = ((language, known.get(original.value)) for language, known in faults.said.items())
    taken = {language: text for language, text in found if text is not None}
    made = LocalizedText(original.value, original.where, original.text, {**texts, **taken}, texts)
    faults.localized.append(made)
    return made


def _same_numbers(original: Given[str], language: str, text: Given[str], faults: Faults) -> None:
    """Note a translation that prints other figures or other numbers."""
    for what, form in (("figures", BRACED), ("numbers", DIGITS)):
        wanted, found = (Counter(part.strip() for part in form.findall(one.value)) for one in (original, text))
        if wanted != found:
            listed = ", ".join(sorted(wanted.elements())).replace("{", "") or "none"
            faults.speech(text.where, f"the text in {language} has other {what} than {original.where}", listed)
            return


def languages_of(node: Node | None) -> tuple[str, ...]:
    """The languages that ``site.yaml`` names, looked up before anything is read; English where it names none."""
    listed = node.get("languages") if isinstance(node, Entries) else None
    found = [item.text for item in listed.items if isinstance(item, Scalar)] if isinstance(listed, Items) else []
    known = tuple(dict.fromkeys(name for name in found if name in LANGUAGES))
    return known or (ENGLISH,)
