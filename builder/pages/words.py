"""Words for things that content names by id."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR

Say: TypeAlias = Callable[[str], str]
"""Gives a text in another language; ``str`` leaves it in English."""
ALARM_WORDS = {"low": "low", "high": "high", "twa": "TWA", "stel": "STEL"}
SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
CHANNEL_WORDS = {FLAMMABLE: "Flammable", OXYGEN: "Oxygen", VAPOUR: "Vapour"}


def channel_word(program: Program, channel: str, say: Say = str) -> str:
    """A channel as a reader sees it: its kind, or the formula of its gas."""
    if channel in CHANNEL_WORDS:
        return say(CHANNEL_WORDS[channel])
    return program.gases[channel].entry.formula.translate(SUBSCRIPTS)


def alarm_word(alarm: str, say: Say = str) -> str:
    """An alarm as a reader sees it."""
    return say(ALARM_WORDS[alarm])
