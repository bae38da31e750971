"""How the PDF engine is loaded: with the libraries of the system that it draws with, and without what it never uses."""

from __future__ import annotations

import ctypes.util
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import cache
from importlib import import_module
from types import ModuleType
from typing import Any, Final

SHARED: Final = {
    "pango": ("libpango-1.0-0", "pango-1.0-0", "pango-1.0", "libpango-1.0.so.0", "libpango-1.0.dylib"),
    "harfbuzz": ("libharfbuzz-0", "harfbuzz", "harfbuzz-0.0", "libharfbuzz.so.0", "libharfbuzz.0.dylib"),
    "fontconfig": ("libfontconfig-1", "fontconfig-1", "fontconfig", "libfontconfig.so.1", "libfontconfig.1.dylib"),
}
"""Names under which the engine looks for each, in its order; a library is loaded once, so both ask the same one."""
PLACE = 100


UNUSED: Final = ("fontTools.subset", "fontTools.varLib.instancer")
"""What the engine loads for systems that cannot cut fonts to the letters used, and for fonts of many weights in one."""
FONTS: Final = "weasyprint.pdf.fonts"
"""Module of the engine that asks for arrays of lengths that differ from font to font."""
HTML: Final = "tinyhtml5.inputstream"
"""Module that reads a source up to the next sign of a kind."""


@contextmanager
def lightly() -> Iterator[None]:
    """Have the engine load what it needs, in half the time: only while it is imported inside.

    On Linux it finds its libraries by the names of their files alone. It would first ask for other spellings, and
    Python answers each by starting a compiler and a linker: some fifty programs. A system that has none under those
    names is asked the long way. What it never uses here is loaded when it does, its arrays are made by one type, and
    patterns of signs are made once.
    """
    usual = ctypes.util.find_library
    if sys.platform == "linux" and drawing():
        ctypes.util.find_library = _not_there
    later = {name: _Later(name) for name in UNUSED if name not in sys.modules}
    sys.modules.update(later)
    try:
        yield
    finally:
        ctypes.util.find_library = usual
        for name in later:
            sys.modules.pop(name, None)
    fonts = sys.modules[FONTS]
    if not isinstance(fonts.ffi, _Arrays):
        fonts.ffi = _Arrays(fonts.ffi)  # type: ignore[attr-defined]
        sys.modules[HTML].characters_until_regex = _Patterns()  # type: ignore[attr-defined]


def _not_there(name: str) -> str | None:  # noqa: ARG001 - the form of what it stands for
    return None


class _Later(ModuleType):
    """Stands for a module that is loaded when a function of it is called."""

    def __getattr__(self, name: str) -> Callable[..., Any]:
        if name.startswith("__"):
            raise AttributeError(name)

        def called(*given: Any, **named: Any) -> Any:
            return getattr(import_module(self.__name__), name)(*given, **named)

        return called


class _Arrays:
    """The engine's door to C, where the length of an array is not stated if it follows from what fills it.

    A type with a length is read as C for each length anew, which takes longer than cutting the font.
    """

    def __init__(self, door: Any) -> None:
        self._door = door

    def __getattr__(self, name: str) -> Any:
        return getattr(self._door, name)

    def new(self, kind: str, filled: Any = None) -> Any:
        """A new value of a C type."""
        if isinstance(filled, list | tuple):
            of = kind.partition("[")[0]
            return self._door.new(f"{of}[]" if kind == f"{of}[{len(filled)}]" else kind, filled)
        return self._door.new(kind, filled)


class _Patterns(dict[tuple[Iterable[str], bool], re.Pattern[str]]):
    """(signs, whether it is these that are read, not all others) -> the pattern of as many as follow.

    The library keeps patterns where it does not find them again, and makes each anew: a third of reading a source.
    """

    def __missing__(self, asked: tuple[Iterable[str], bool]) -> re.Pattern[str]:
        signs, these = asked
        made = self[asked] = re.compile(f"[{'' if these else '^'}{re.escape(''.join(signs))}]+")
        return made


@cache
def drawing() -> dict[str, str]:
    """Versions of the libraries of the system that shape and find letters; empty where they cannot be asked."""
    try:
        harfbuzz = _loaded("harfbuzz")
        harfbuzz.hb_version_string.restype = ctypes.c_char_p
        return {
            "pango": _dotted(_loaded("pango").pango_version()),
            "harfbuzz": harfbuzz.hb_version_string().decode(),
            "fontconfig": _dotted(_loaded("fontconfig").FcGetVersion()),
        }
    except (OSError, AttributeError):
        return {}


def _loaded(name: str) -> ctypes.CDLL:
    for file in SHARED[name][:-1]:
        try:
            return ctypes.CDLL(file)
        except OSError:
            continue
    return ctypes.CDLL(SHARED[name][-1])


def _dotted(number: int) -> str:
    """A version as both libraries pack it into a number.

    >>> _dotted(15012)
    '1.50.12'
    """
    rest, last = divmod(number, PLACE)
    return ".".join(map(str, (*divmod(rest, PLACE), last)))
