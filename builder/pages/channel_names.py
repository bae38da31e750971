"""Words for things that content names by id."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from builder.pages.wording import in_context, plain
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR

Say: TypeAlias = Callable[[str], str]
"""Gives a text in another language; ``str`` leaves it in English."""
ALARM_WORDS = {"low": "low", "high": "high", "twa": "TWA", "stel": "STEL"}
LEVELS = ("low", "high")
RISING = "alarm of a gas that rises"
SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
CHANNEL_WORDS = {FLAMMABLE: "Flammable", OXYGEN: "Oxygen", VAPOUR: "Vapour"}


def channel_word(program: Program, channel: str, say: Say = str) -> str:
    """A channel as a reader sees it: its kind, or the formula of its gas."""
    if channel in CHANNEL_WORDS:
        return say(CHANNEL_WORDS[channel])
    return program.gases[channel].entry.formula.translate(SUBSCRIPTS)


def alarm_word(alarm: str, say: Say = plain, channel: str = "") -> str:
    """An alarm as a reader sees it.

    :param channel: where it is given, languages can tell oxygen that is low or high from the first and the second alarm
        of a gas that rises: "gas low" may be read as all being well.
    """
    word = ALARM_WORDS[alarm]
    return say(in_context(RISING, word) if channel not in ("", OXYGEN) and alarm in LEVELS else word)
