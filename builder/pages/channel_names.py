"""Words for things that content names by id."""

from collections.abc import Callable
from typing import TypeAlias

from builder.pages.wording import plain
from builder.program.alarm_words import OXYGEN_WORDS, RISING_WORDS, SPELT_WORDS
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


def alarm_word(alarm: str, say: Say = plain, channel: str = "") -> str:
    """An alarm as a reader sees it.

    :param channel: where it is given, oxygen that is low or high is told from the first and the second alarm of a gas
        that rises: "gas low" may be read as all being well.
    """
    apart = {"": {}, OXYGEN: OXYGEN_WORDS}.get(channel, RISING_WORDS)
    return say(apart.get(alarm) or ALARM_WORDS[alarm])


def spelt_alarm_word(alarm: str, say: Say, channel: str) -> str:
    """The same for who acts by it: an average in words, with what the display calls it."""
    return say(SPELT_WORDS[alarm]) if alarm in SPELT_WORDS else alarm_word(alarm, say, channel)
