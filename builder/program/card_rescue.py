"""Which alarms stop a rescuer on air, and which do not: said alarm by alarm, since silence is no order."""

from builder.base.where import Given
from builder.program.reading import Fields
from builder.program.sensors import FLAMMABLE, OXYGEN
from builder.program.setpoints import ALARMS

NEVER_ON = {FLAMMABLE: ("high", "twa", "stel"), OXYGEN: ("high",)}
"""Alarms of fire: an air supply is no shelter from it, so nobody goes on."""


def read_alarms(fields: Fields, key: str, *, on: bool = False) -> tuple[Given[str], ...]:
    """A list of ``CHANNEL`` or ``CHANNEL.ALARM``; a channel alone stands for all of its alarms.

    :param on: whether the rescuer goes on at them, which those of fire do not allow.
    """
    made = fields.texts(key, required=True)
    for given in made:
        channel, _, alarm = given.value.partition(".")
        fields.faults.refer("channel", Given(channel, given.where, given.text))
        if alarm and alarm not in ALARMS:
            fields.faults.choice(given.where, f"{given.text!r} in {key!r}", f"CHANNEL.ALARM, of {', '.join(ALARMS)}")
        if on and channel in NEVER_ON and (not alarm or alarm in NEVER_ON[channel]):
            found = f"{given.text!r} in {key!r}: breathing air is no shelter from fire"
            fields.faults.add(given.where, found, f"{channel}.low at most; the others among stops")
    return made


def names(listed: tuple[Given[str], ...], channel: str, alarm: str) -> bool:
    """Whether an alarm is in such a list.

    >>> from builder.base.where import Where
    >>> names((Given("oxygen.low", Where("card", 1), ""),), "oxygen", "high")
    False
    """
    told = (given.value.partition(".") for given in listed)
    return any(named == channel and one in ("", alarm) for named, _, one in told)
