"""Texts of a site in its other languages, each with who read it and when: ``translations/LANG.yaml``.

They come before what the rest of the content says in that language, and before the builder's own words. The file of
the first language rewords what the builder says on cards and sheets: ``of`` is as the builder has it. ``handbook
translate`` writes the file; it can be written by hand as well.
"""

from collections.abc import Mapping
from datetime import date
from functools import partial
from pathlib import PurePosixPath
from typing import TypeAlias

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.reading import Fields
from builder.program.said_text import why_wrong

FOLDER = "translations"


@dataclass(frozen=True, slots=True, kw_only=True)
class Translation:
    """One text in another language."""

    of: Given[str]
    """The English text as it stood when it was translated."""
    says: Given[str]
    by: Given[str] | None = None
    """Who read it; ``None`` while nobody did."""
    on: Given[date] | None = None


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


def _translation(fields: Fields) -> Translation:
    return Translation(
        of=fields.text("of"), says=fields.text("says"), by=fields.maybe_text("by"), on=fields.maybe_day("on")
    )


def _by_english(fields: Fields, language: str) -> Mapping[str, Translation]:
    made: dict[str, Translation] = {}
    faults = fields.faults
    for one in fields.parts("texts", "text", _translation, required=False):
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
