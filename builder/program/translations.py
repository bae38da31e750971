"""Texts of a site in its other languages, each with who read it and when: ``translations/LANG.yaml``.

They come before what the rest of the content says in that language, and before the builder's own words. The file of
the first language rewords what the builder says on cards and sheets: ``of`` is as the builder has it. ``handbook
translate`` writes the file; it can be written by hand as well.
"""

import re
from collections import Counter
from collections.abc import Mapping
from datetime import date
from functools import partial
from pathlib import PurePosixPath
from typing import TypeAlias

from builder.base.record import dataclass
from builder.base.unseen import unseen
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.declared import asked, record
from builder.program.faults import Faults
from builder.program.languages import LANGUAGES
from builder.program.reading import Fields

FOLDER = "translations"


@dataclass(frozen=True, slots=True, kw_only=True)
class Translation:
    """One text in another language."""

    of: Given[str] = asked(Fields.text)
    """The English text as it stood when it was translated."""
    says: Given[str] = asked(Fields.text)
    by: Given[str] | None = asked(Fields.maybe_text)
    """Who read it; ``None`` while nobody did."""
    on: Given[date] | None = asked(Fields.maybe_day)


Translations: TypeAlias = Mapping[str, Mapping[str, Translation]]
"""By language and English text."""


def read_translations(files: Mapping[str, Node], faults: Faults) -> Translations:
    """Every file of the folder; a language that the site does not have is a fault."""
    made: dict[str, Mapping[str, Translation]] = {}
    for path, node in files.items():
        language = PurePosixPath(path).stem
        if language not in faults.languages:
            allowed = "a file a language of site.yaml: " + ", ".join(faults.languages)
            faults.add(node.where, f"translations in {language!r}", allowed)
            continue
        made[language] = Fields(node, faults, "translations").wholly(partial(_by_english, language=language))
    return made


def _by_english(fields: Fields, language: str) -> Mapping[str, Translation]:
    made: dict[str, Translation] = {}
    faults = fields.faults
    for one in fields.parts("texts", "text", record(Translation), required=False):
        wrong = why_wrong(one.of.value, one.says.value, language)
        if wrong:
            faults.add(
                one.says.where, f"a translation that cannot stand: {wrong}", "the same figures, marks and numbers"
            )
        if (one.by is None) != (one.on is None):
            faults.add(one.of.where, "a review with half of it", "both by and on, or neither")
        if one.of.value in made:
            first: Where = made[one.of.value].of.where
            faults.add(one.of.where, f"a text twice; it stands at {first}", "each text once")
        made.setdefault(one.of.value, one)
    return made


# ---- whether a translation can stand for its English text: marks, figures, numbers, letters -----

TAG = re.compile(r"<(/?)(\d+)>")
NUMBER = re.compile(r"[0-9]+")
ROMAN = re.compile(r"\bI{1,3}\b")
ARABIC_NUMBER = re.compile("[\u0660-\u0669\u06f0-\u06f9]")
LETTERS = re.compile(r"[^\W\d_]+")
CUT = re.compile(r"\{[^{}]*\}|</?\d+>")


def why_wrong(english: str, said: str, language: str) -> str:
    """What forbids a translation, in words; empty where nothing does.

    >>> why_wrong("Wait {wait}.", "Espere.", "es")
    'its figures and marks are not those of the English text: {wait}'
    >>> why_wrong("Wait {wait}.", "Espere {wait}.", "es")
    ''
    """
    hidden = unseen(said)
    if hidden:
        return f"it holds {hidden}, which nobody sees"
    marks = [Counter([mark.replace(" ", "") for mark in CUT.findall(text)]) for text in (english, said)]
    if marks[0] != marks[1]:
        listed = ", ".join(sorted(marks[0].elements())) or "none"
        return f"its figures and marks are not those of the English text: {listed}"
    if not _nested(said):
        return "its marks do not enclose one another as they must: <1>words</1>"
    bare = [CUT.sub(" ", text) for text in (english, said)]
    wanted = Counter(NUMBER.findall(bare[0]))
    found = [Counter(NUMBER.findall(text)) for text in (bare[1], ROMAN.sub(lambda one: str(len(one[0])), bare[1]))]
    if ARABIC_NUMBER.search(bare[1]) or wanted not in found[: 1 + LANGUAGES[language].roman]:
        listed = ", ".join(sorted(wanted.elements())) or "none"
        return f"its numbers are not those of the English text, in the same digits: {listed}"
    foreign = _foreign(bare[0], bare[1], language)
    return f"{foreign} is not of {LANGUAGES[language].name}" if foreign else ""


def _nested(text: str) -> bool:
    open_marks: list[str] = []
    for tag in TAG.finditer(text):
        closing, number = tag.groups()
        if not closing:
            open_marks.append(number)
        elif not open_marks or open_marks.pop() != number:
            return False
    return not open_marks


def _foreign(english: str, said: str, language: str) -> str:
    """The first word with a letter that the language does not have, or all where none is of its own.

    A word of the English text stays as it is.
    """
    alphabet = LANGUAGES[language].letters
    words = LETTERS.findall(said)
    own = [word for word in words if alphabet.issuperset(map(str.lower, word))]
    for word in words:
        if word not in own and word not in english and word.lower() not in english.lower():
            return f"“{word}”"
    return "" if own or not LETTERS.search(english) or said == english else "“" + " ".join(words) + "”"
