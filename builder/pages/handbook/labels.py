"""Plain words for the ids that content and reference tables use."""

from collections.abc import Callable, Mapping
from typing import Final, TypeAlias

from builder.pages.wording import plain
from builder.program.alarm_words import OXYGEN_WORDS, RISING_WORDS, SPELT_WORDS
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR

CHANNELS: Final[Mapping[str, str]] = {"oxygen": "Oxygen", "flammable": "Flammable gas", "vapour": "Vapour"}
RISKS: Final[Mapping[str, str]] = {
    "deficiency": "too little",
    "enrichment": "too much",
    "both": "too little or too much",
    "": "",
}
ACTIVITIES: Final[Mapping[str, str]] = {
    "confined-space-entry": "confined-space entry",
    "hot-work": "hot work",
    "inspection": "inspection",
    "cold-work": "cold work",
    "sewer-entry": "sewer entry",
}
RULED: Final[Mapping[str, str]] = {
    "oxygen-low": "Oxygen, too little",
    "oxygen-high": "Oxygen, too much",
    "flammable": "Flammable gas",
    "hydrogen-sulfide": "Hydrogen sulfide",
    "carbon-monoxide": "Carbon monoxide",
}
"""Quantity that a rule limits, in the order air is tested."""
NO_RULE: Final = "no rule with a number for this place and these activities"
PRINCIPLES: Final[Mapping[str, str]] = {
    "catalytic": "catalytic: burns a little of the gas, so it needs oxygen and can be poisoned",
    "infrared": "infrared: absorption of light, needs no oxygen",
    "electrochemical": "electrochemical cell",
    "photoionisation": "photoionisation: a lamp ionises the vapour",
    "thermal-conductivity": "thermal conductivity",
}
STATES: Final[Mapping[str, str]] = {
    "in-use": "in use",
    "spare": "spare",
    "quarantined": "quarantined: do not use",
    "repair": "in repair: do not use",
    "retired": "retired: do not use",
    "lent": "lent out: do not use",
    "hired": "hired, in use",
    "not-known": "state not known: do not use",
}
CHECK_KINDS: Final[Mapping[str, str]] = {
    "bump-test": "bump test: gas reaches the sensors and the alarms sound",
    "calibration-check": "calibration check: readings compared with certified gas, nothing adjusted",
    "calibration": "calibration: zero and span adjusted with certified gas, as found and as left recorded",
    "inspection": "inspection",
    "replacement": "replacement of a part that wears",
    "zero": "zero in clean air",
    "flow-block": "flow-block test of the pump",
}
ROLES: Final[Mapping[str, str]] = {
    "entrant": "entrant",
    "attendant": "attendant",
    "supervisor": "entry supervisor",
    "tester": "gas tester",
    "hot-work-watch": "hot-work watch",
    "rescue": "rescue team",
    "lone-worker": "lone worker",
    "contractor": "contractor",
    "calibrator": "calibrator",
    "lead": "safety lead",
    "everybody": "entrance (sign)",
}
"""Who a procedure is for, and who a card is for."""
SEVERITIES: Final[Mapping[str, str]] = {"stop": "Stops", "warn": "Warnings", "note": "Notes"}
REGULATORS: Final[Mapping[str, str]] = {
    "demand-flow": "demand flow, for units with a pump",
    "fixed-flow": "fixed flow, for units without a pump",
}
CELLS: Final[Mapping[str, str]] = {"rechargeable": "rechargeable", "primary": "throw-away"}
WHEN_FULL: Final[Mapping[str, str]] = {
    "overwrites": "it writes over the oldest readings",
    "stops": "it stops: the newest readings are not kept",
}
FIRES: Final[Mapping[str, str]] = {
    "at-or-above": "as soon as the display reaches the setpoint",
    "above": "only beyond the setpoint",
}


# ---- channels and alarms, on papers and charts ------------------------------------------
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


# ---- any id -------------------------------------------------------------------------


def word(words: Mapping[str, str], name: str) -> str:
    """The word for an id, or the id in plain letters when there is none."""
    return words.get(name, name.replace("-", " "))


def capital(text: str) -> str:
    """``text`` with a capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]


def small(text: str) -> str:
    """``text`` with a small first letter for the middle of a line; letters that stand for words stay capital.

    >>> small("Too little"), small("TWA alarm")
    ('too little', 'TWA alarm')
    """
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]
