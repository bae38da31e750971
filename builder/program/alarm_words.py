"""What an alarm is called wherever a reader meets it: "gas low" may be read as all being well."""

from typing import Final

from builder.program.sensors import OXYGEN

OXYGEN_WORDS: Final = {"low": "too little", "high": "too much"}
RISING_WORDS: Final = {"low": "1st alarm", "high": "2nd alarm"}
SPELT_WORDS: Final = {"twa": "8-hour average (TWA)", "stel": "15-minute average (STEL)"}


def alarm_of(alarm: str, channel: str, name: str) -> str:
    """An alarm of a channel that is called ``name``, in words to stand in a sentence.

    >>> alarm_of("high", "methane", "Methane"), alarm_of("low", "oxygen", "oxygen")
    ('2nd alarm of Methane', 'alarm of too little oxygen')
    """
    if channel == OXYGEN and alarm in OXYGEN_WORDS:
        return f"alarm of {OXYGEN_WORDS[alarm]} {name}"
    if alarm in SPELT_WORDS:
        average, short = SPELT_WORDS[alarm].split(" (")
        return f"{average} alarm ({short} of {name}"
    return f"{RISING_WORDS[alarm]} of {name}"
