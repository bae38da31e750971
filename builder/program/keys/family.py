"""A family of figures: one form of key, from which keys are made and by which they are read."""

import re
from collections.abc import Collection, Mapping
from dataclasses import field
from functools import cache
from typing import Final

from builder.base.nearest import nearest
from builder.base.record import dataclass

PLACEHOLDER: Final = re.compile(r"<([a-z]+)>")
ANYTHING: Final = r"[^.]+"

Known = Mapping[str, Collection[str] | None]
"""Names by part of a key; ``None`` where the file that defines them cannot be read, so that any name may be right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyPart:
    """A part of keys that differs from figure to figure."""

    name: str
    """As it stands in forms, between angle brackets."""
    meaning: str
    example: str
    choices: tuple[str, ...] = ()
    """All that it may be; empty where the content or the calculation says it."""


@dataclass(frozen=True, slots=True)
class Family:
    """All figures whose keys have one form.

    >>> Family("hose.<area>.<model>.wait", "s", "wait before reading")(area="pit", model="four")
    'hose.pit.four.wait'
    """

    form: str
    """Words and parts between dots: ``setpoint.<area>.<channel>.<alarm>``."""
    unit: str
    """Its unit in words; a unit that differs from figure to figure is told by what decides it."""
    meaning: str
    parts: tuple[str, ...] = field(init=False, repr=False, compare=False)
    """Names of its parts, in their order."""
    _names: frozenset[str] = field(init=False, repr=False, compare=False)
    _template: str = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Take the form apart once."""
        texts = PLACEHOLDER.split(self.form)
        object.__setattr__(self, "parts", tuple(texts[1::2]))
        object.__setattr__(self, "_names", frozenset(texts[1::2]))
        object.__setattr__(self, "_template", PLACEHOLDER.sub(r"{\1}", self.form))

    def __call__(self, **parts: str | int) -> str:
        """The key of one figure.

        :raises TypeError: when a part of the form is missing, or one is given that it does not have.
        """
        if parts.keys() != self._names:
            raise TypeError(f"parts {', '.join(sorted(parts)) or 'none'} for a key of the form {self.form}")
        return self._template.format_map(parts)

    def start(self, **parts: str | int) -> str:
        """What keys of this family with these parts begin with, up to a dot.

        >>> wait = Family("hose.<area>.<model>.wait", "s", "wait before reading")
        >>> wait.start(area="pit"), wait.start(area="pit", model="four")
        ('hose.pit', 'hose.pit.four')

        :raises TypeError: when the parts given are not the first of its parts.
        """
        return _beginning(self.form, frozenset(parts)).format_map(parts)

    def on(self, start: str) -> str:
        """The key of this family that begins as another family's does.

        >>> Family("hose.<area>.<model>.wait", "s", "wait before reading").on("hose.pit.four")
        'hose.pit.four.wait'

        :raises ValueError: when no key of this family begins so.
        """
        key = start + _ending(self.form, start.count("."))
        if PLACEHOLDER.search(key) or self.read(key) is None:
            raise ValueError(f"no key of the form {self.form} begins with {start}")
        return key

    def read(self, key: str) -> dict[str, str] | None:
        """The parts of a key of this form; ``None`` for another key."""
        found = _pattern(self.form).fullmatch(key)
        return found.groupdict() if found else None

    def fits(self, key: str, known: Known) -> bool:
        """Whether the key has this form, and its parts are names that there are."""
        found = self.read(key)
        return found is not None and all(_is(text, known.get(part)) for part, text in found.items())

    def nearest(self, key: str, known: Known) -> str | None:
        """The key in which every word that does not fit was replaced by the nearest that does, if there is one."""
        slots, words = self.form.split("."), key.split(".")
        mended = [_mended(word, slot, known) for word, slot in zip(words, slots, strict=False)]
        found = [word for word in mended if word]
        return ".".join(found) if len(found) == len(slots) == len(words) else None


@cache
def _beginning(form: str, parts: frozenset[str]) -> str:
    """What keys of a form begin with up to the last slot that these parts fill, to be filled with them."""
    slots = [frozenset(PLACEHOLDER.findall(slot)) for slot in form.split(".")]
    if parts != frozenset(PLACEHOLDER.findall(form)[: len(parts)]):
        raise TypeError(f"parts {', '.join(sorted(parts)) or 'none'} for the start of a key of the form {form}")
    varying = [at for at, names in enumerate(slots) if names]
    end = min((at for at in varying if not parts >= slots[at]), default=max(varying, default=-1) + 1)
    return PLACEHOLDER.sub(r"{\1}", ".".join(form.split(".")[:end]))


@cache
def _ending(form: str, before: int) -> str:
    """What stands in a form after its first slots, one more than there are dots before it."""
    return "".join(f".{slot}" for slot in form.split(".")[before + 1 :])


@cache
def _pattern(form: str) -> re.Pattern[str]:
    texts = enumerate(PLACEHOLDER.split(form))
    return re.compile("".join(f"(?P<{text}>{ANYTHING})" if at % 2 else re.escape(text) for at, text in texts))


def _is(text: str, names: Collection[str] | None) -> bool:
    return names is None or text in names


def _mended(word: str, slot: str, known: Known) -> str | None:
    """What stands between two dots, made to fit; ``None`` where nothing is near."""
    if Family(slot, "", "").fits(word, known):
        return word
    close = nearest(word, _fillings(slot, known), count=1)
    return close[0] if close else None


def _fillings(slot: str, known: Known) -> list[str]:
    """All that may stand between two dots, as far as that is known."""
    parts = PLACEHOLDER.findall(slot)
    if not parts:
        return [slot]
    return [slot.replace(f"<{parts[0]}>", name) for name in known.get(parts[0]) or ()] if len(parts) == 1 else []
