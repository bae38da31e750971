"""The catalogues that come with the builder, read in a twentieth of the time that the library for gettext files takes.

Files that people send are read by that library (``languages/po.py``): they may have any form that gettext allows.
"""

import json
import re
from collections.abc import Callable, Iterator, Mapping
from gettext import c2py

from builder.base.record import dataclass

IN_CONTEXT = "\x04"
"""Between context and text, as gettext has it."""
ENTRY = re.compile(r"\n(?:[ \t]*\n)+")
LINE = re.compile(r'(?:(msgctxt|msgid|msgid_plural|msgstr(?:\[\d\])?) )?("(?:[^"\\]|\\[nt"\\])*")')
PLURAL = re.compile(r"^Plural-Forms:.*\bplural=([^;]+);", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """The translations of one language."""

    texts: Mapping[str, str]
    plurals: Mapping[str, tuple[str, ...]]
    """By the singular in English."""
    form: Callable[[int], int]
    """Which plural goes with a whole number."""


def read_catalogue(text: str) -> Catalogue:
    """The translations of a file; what is marked fuzzy counts as not translated.

    :raises ValueError: for a line that is none of a gettext file, or a head that does not tell the rule of plurals.
    """
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    head, *entries = _entries(text)
    for entry in entries:
        english, said = entry["msgid"], entry.get("msgstr")
        forms = tuple(part for name, part in sorted(entry.items()) if name.startswith("msgstr["))
        if forms and all(forms):
            plurals[english] = forms
        elif said is not None:
            texts[f"{entry['msgctxt']}{IN_CONTEXT}{english}" if "msgctxt" in entry else english] = said
    rule = PLURAL.search(head.get("msgstr", ""))
    if rule is None:
        raise ValueError("its head does not tell which plural goes with which number")
    return Catalogue(texts=texts, plurals=plurals, form=c2py(rule[1]))


def _entries(text: str) -> Iterator[dict[str, str]]:
    """Name of a field -> its text, of each entry that is not fuzzy."""
    for block in ENTRY.split(text.strip()):
        entry: dict[str, str] = {}
        name, fuzzy = "", False
        for line in block.split("\n"):
            if line.startswith("#"):
                fuzzy = fuzzy or (line.startswith("#,") and "fuzzy" in line)
                continue
            found = LINE.fullmatch(line)
            if found is None or not (found[1] or name) or found[1] in entry:
                raise ValueError(f"no line of a gettext file: {line}")
            name = found[1] or name
            entry[name] = entry.get(name, "") + json.loads(found[2])
        if entry and not fuzzy:
            yield entry
