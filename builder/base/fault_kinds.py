"""Kinds of fault in content, each with a lasting id, its cause and its cure; ``docs/faults.md`` lists them."""

import sys
from enum import StrEnum
from pathlib import Path
from typing import Self

HEAD = """# Faults

Written by `python -m builder.base.fault_kinds docs/faults.md` from that module: change it, not this file.

A fault is content that cannot be read or is not allowed: nothing is built, and what was published is untouched. Each is
told with its file and line, the line itself with a caret under the place, what is allowed there, the nearest match, and
in square brackets the kind of fault. These ids never change their meaning; `handbook check --format json` and
`--format sarif` give them too. What a sound folder may still have wrong are [findings](findings.md).
"""


class Kind(StrEnum):
    """A kind of fault: its id, its cause and its cure."""

    cause: str
    cure: str

    def __new__(cls, name: str, cause: str, cure: str) -> Self:
        """A member that is its id."""
        made = str.__new__(cls, name)
        made._value_ = name
        made.cause, made.cure = cause, cure
        return made

    # ---- files --------------------------------------------------------------
    FILE_UNKNOWN = (
        "file-unknown",
        "A file or folder has a name the builder does not know, is of another kind, or leads out of the folder.",
        "Move it out of the content folder, or give it the nearest name told if that is free: nothing is passed over.",
    )
    FILE_MISSING = (
        "file-missing",
        "A file that every content folder has, or one that other files speak of, is not there or is empty.",
        "Add it; `handbook start` writes one of each to copy from.",
    )
    FILE_UNREADABLE = (
        "file-unreadable",
        "The system does not hand the file over, or it is not the kind of file its name says.",
        "Mend its permissions, close it elsewhere, save it anew without a password.",
    )
    ENCODING = (
        "encoding",
        "The file was saved in another encoding than UTF-8, and no map says in which.",
        "Save it as UTF-8 (in spreadsheets: CSV UTF-8), or give `encoding:` in the file's entry of maps.yaml.",
    )
    TOO_BIG = (
        "too-big",
        "A file, a line or a table has more in it than is read; such files are far more often damaged than big.",
        "Look at the named line; part what is truly that long into several files.",
    )
    HIDDEN = (
        "hidden-character",
        "A character that cannot be seen, steers a terminal, turns the direction of writing, or has no type face.",
        "Delete it and type the text anew; such characters mostly come along with text that was copied.",
    )
    # ---- form ---------------------------------------------------------------
    NOT_YAML = (
        "not-yaml",
        "The lines are no YAML: a tab, a quote or bracket that is not closed, a colon without a blank, a shifted line.",
        "Correct the line with the caret first: what follows it is often sound. Indent with blanks, two a level.",
    )
    TABLE_FORM = (
        "table-form",
        "Rows of a table do not have the form of its heads: merged cells, missing heads, quotes.",
        "Correct the rows named, or tell the form in maps.yaml; `handbook import FILE` proposes it.",
    )
    PROSE_FORM = (
        "prose-form",
        "A text uses what its pages do not have, such as raw HTML, other links, a brace without its partner.",
        "Write headings, paragraphs, lists, tables, and links such as [text](gas:methane).",
    )
    TYPED_NUMBER = (
        "typed-number",
        "A number with a unit was typed into a text, where it would stand still when the figure changes.",
        "Name the figure as {key}, or say why it is typed as {literal: text | reason}.",
    )
    # ---- keys and values ----------------------------------------------------
    KEY_UNKNOWN = (
        "key-unknown",
        "A key is misspelt, or stands one level too high or too low.",
        "Use the nearest key told, or move it; docs/content.md has the keys of each file.",
    )
    KEY_MISSING = (
        "key-missing",
        "A value that must be there is not, or nothing stands after its key.",
        "Add it with what the manual, the label or the site's own rule says; nothing is filled in by the builder.",
    )
    SHAPE = (
        "wrong-shape",
        "A list, a mapping of key: value, or a single value stands where another of the three belongs.",
        "Write it in the form told; a dash begins an item of a list, blanks before a key put it under the one above.",
    )
    CHOICE = (
        "not-a-choice",
        "The value is none of the words allowed there, or not of their form.",
        "Take one of those told, written exactly so: capitals, hyphens and blanks count.",
    )
    ID_FORM = (
        "id-form",
        "An id has signs that cannot stand in names of files and addresses, or is too long.",
        "Use letters, digits and single hyphens; asset numbers and initials keep their case.",
    )
    NUMBER = (
        "number-form",
        "A number or a quantity cannot be read: no unit, an unknown unit, another dimension, a decimal comma.",
        "Write number, blank, unit such as 19.5 %vol, with a point; maps.yaml may give a table `decimal: comma`.",
    )
    TIME = (
        "time-form",
        "A date, a time or an interval cannot be read, or does not exist in the site's zone.",
        "Write 2026-11-25, 2026-11-25 06:40, 6 months; another form of a table is told in maps.yaml.",
    )
    RANGE = (
        "out-of-range",
        "A value can be read but lies outside what is possible, printable, or known to the formula that uses it.",
        "Look for a slipped digit or unit first; what is allowed stands beside it.",
    )
    # ---- what does not go together -------------------------------------------
    TWICE = (
        "stands-twice",
        "Two entries have the same name, or names that can be taken for one another.",
        "Delete one, or rename one; which of the two was meant is never guessed.",
    )
    NAME_UNKNOWN = (
        "name-unknown",
        "A value names a gas, model, area, cylinder, person, page or the like that is defined nowhere.",
        "Correct the spelling, or add what it names to its own file.",
    )
    FIGURE_UNKNOWN = (
        "figure-unknown",
        "A text or card names a figure that this site does not have.",
        "Use the nearest key told; docs/keys.md lists their forms, `handbook trace` looks for one.",
    )
    CONFLICT = (
        "conflict",
        "Values that are sound alone do not go together: one leaves the other without meaning, or speaks against it.",
        "Decide which of them is right; then correct, add or delete what does not fit.",
    )
    TRANSLATION = (
        "translation",
        "A text lacks one of the languages it is asked in, or its translation has other numbers or figures.",
        "Give it in the site's first language at least, and the same figures in each.",
    )
    TEMPLATE = (
        "template",
        "A template of the site's own is no template, or asks for what there is not: names, files, calls, arithmetic.",
        "Take what docs/templates.md lists; figures stand in it by their {key}, and the builder calculates them.",
    )
    PICTURE = (
        "picture",
        "A picture holds more than what draws (scripts, links, words, styles), is damaged, or is too large.",
        "Export it as a plain drawing of shapes, or as a PNG; docs/templates.md lists what a drawing may have.",
    )
    EXTENDED = (
        "extended",
        "The folder that `extends:` names cannot be used, or what it says is taken away without a word.",
        "Correct the path in site.yaml; what does not hold at this site says `remove: why` where it stood.",
    )
    MORE = (
        "more-faults",
        "The file has more faults than are told one by one.",
        "Correct those told and check again: faults further down are mostly of the same kind.",
    )


def faults_document() -> str:
    """A heading for each kind, by which it can be linked, with its cause and cure."""
    return HEAD + "".join(f"\n## {kind}\n{kind.cause}\n\n**Cure.** {kind.cure}\n" for kind in Kind)


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(faults_document(), encoding="utf-8")
