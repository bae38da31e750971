"""Whether a translation can stand for its English text: the same marks, figures and numbers, and its own letters."""

import re
from collections import Counter

from builder.base.unseen import unseen
from builder.program.languages import LANGUAGES

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
    marks = [Counter(_marks(text)) for text in (english, said)]
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


def _marks(text: str) -> list[str]:
    return [mark.replace(" ", "") for mark in CUT.findall(text)]


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
        if word not in own and word not in english and not _named_in(word, english):
            return f"“{word}”"
    return "" if own or not LETTERS.search(english) or said == english else "“" + " ".join(words) + "”"


def _named_in(word: str, english: str) -> bool:
    """Whether a word only ends otherwise than one of the English text, as names of it do."""
    return word.lower() in english.lower()
