"""The card formats and papers this project prints on, with the standard each size is from."""

from __future__ import annotations

from dataclasses import dataclass

from builder.base.errors import RenderError
from builder.base.nearest import nearest

SAFE_MM = 3.0
"""Nothing is printed nearer than this to the edge of a card: cutters and laminating pouches are that inexact."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFormat:
    """The trimmed size of a card."""

    name: str
    """As authors write it: ``A7``."""
    css: str
    """Class of its sides in the style sheet."""
    width: float
    """Millimetres."""
    height: float
    """Millimetres."""
    source: str
    """Standard the size is from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A sheet of paper, upright."""

    name: str
    width: float
    """Millimetres."""
    height: float
    """Millimetres."""
    source: str
    """Standard the size is from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a card lies on a sheet, in millimetres from its upper left corner."""

    left: float
    top: float
    width: float
    height: float


FORMATS: dict[str, CardFormat] = {
    one.name: one
    for one in (
        CardFormat(name="ID-1", css="f-id1", width=85.60, height=53.98, source="ISO/IEC 7810, ID-1"),
        CardFormat(name="A7", css="f-a7", width=74, height=105, source="ISO 216, A7"),
        CardFormat(name="A6", css="f-a6", width=105, height=148, source="ISO 216, A6"),
    )
}

PAPERS: dict[str, Paper] = {
    one.name: one
    for one in (
        Paper(name="A4", width=210, height=297, source="ISO 216, A4"),
        Paper(name="Letter", width=215.9, height=279.4, source="ASME Y14.1, size A (8.5 × 11 in)"),
    )
}


def card_format(name: str) -> CardFormat:
    """The format an author named.

    :raises RenderError: when there is none of that name.
    """
    if name not in FORMATS:
        raise RenderError(_unknown("card format", name, tuple(FORMATS)))
    return FORMATS[name]


def paper(name: str) -> Paper:
    """The paper an author named.

    :raises RenderError: when there is none of that name.
    """
    if name not in PAPERS:
        raise RenderError(_unknown("paper", name, tuple(PAPERS)))
    return PAPERS[name]


def _unknown(what: str, name: str, allowed: tuple[str, ...]) -> str:
    close = nearest(name, allowed)
    hint = f"; nearest: {', '.join(close)}" if close else ""
    return f"unknown {what} {name!r}; allowed: {', '.join(allowed)}{hint}"
