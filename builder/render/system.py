"""Versions of the system's own libraries that the engine draws with, as the engine reports them."""

from __future__ import annotations

from functools import cache

DECLARED = "int FcGetVersion(void); const char* hb_version_string(void);"
"""What the engine itself has no need to ask."""
PLACE = 100


@cache
def drawing() -> dict[str, str]:
    """Versions of the libraries of the system that shape and find letters; empty where the engine cannot be asked."""
    try:
        from weasyprint.text import ffi as engine  # noqa: PLC0415 - heavy, and only a build asks

        engine.ffi.cdef(DECLARED)
        return {
            "pango": _dotted(engine.pango.pango_version()),
            "harfbuzz": engine.ffi.string(engine.harfbuzz.hb_version_string()).decode(),
            "fontconfig": _dotted(engine.fontconfig.FcGetVersion()),
        }
    except (ImportError, OSError, AttributeError):
        return {}


def _dotted(number: int) -> str:
    """A version as both libraries pack it into a number.

    >>> _dotted(15012)
    '1.50.12'
    """
    rest, last = divmod(number, PLACE)
    return ".".join(map(str, (*divmod(rest, PLACE), last)))
