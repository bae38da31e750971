"""Setpoints and factors hold for the gas that a display is scaled in; printed for another scale they mislead.

Six shown on a display scaled in propane is no six on one scaled in methane. A card or a procedure that is meant for
displays of one scale (``scale: methane``) may therefore print only what holds for it, and one about one check only the
windows of that check.
"""

from collections.abc import Iterator

from builder.base.where import Given
from builder.program.faults import Faults
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, VAPOUR

SCALED = (FLAMMABLE, VAPOUR)
"""Channels that show one gas and mean many."""
WINDOWS = (keyed.WINDOW_EXPECTED, keyed.WINDOW_FROM, keyed.WINDOW_TO)
OF_SENSORS = (keyed.FACTOR, *WINDOWS)
"""Families of figures that hold for one kind of sensor."""
OF_DISPLAYS = ("alarm-actions", "limits", "corrections", "chart", "test-order")
"""Blocks of cards that print setpoints or readings of the detectors of an area."""
LAWFUL = "what holds for that scale; else leave the place out and say that a unit of this site is borrowed there"


def check_scales(program: Program, faults: Faults) -> None:
    """Note every figure that a card or procedure prints for displays of another scale than the one it holds for."""
    for file, meant in _meant(program):
        for given in program.quoted:
            if given.where.file == file:
                others = [scale for scale in scales_of(program, given.value) if scale != meant.value]
                if others:
                    found = (
                        f"{given.value} holds for a display scaled in {' and '.join(others)}, "
                        f"and stands where displays scaled in {meant.value} are meant"
                    )
                    faults.add(given.where, found, LAWFUL)
    _check_blocks(program, faults)
    _check_windows(program, faults)


def _check_windows(program: Program, faults: Faults) -> None:
    """Note every window in prose that is of another check than the card or procedure is about."""
    for file, checks in _about(program):
        for given in program.quoted if checks else ():
            window = _window(given.value) if given.where.file == file else None
            if window is not None and window["check"] not in checks:
                found = (
                    f"{given.value} is a window of {window['check']!r}, where {' and '.join(sorted(checks))} is meant"
                )
                faults.add(given.where, found, "the window of that check: what passes one can fail the other")


def _about(program: Program) -> Iterator[tuple[str, frozenset[str]]]:
    """Cards and procedures with the checks that they are about; with none where they are about no check.

    A calibrator's card whose blocks print no windows is about calibration; any other prints what its blocks do.
    """
    kinds = {check.id for check in program.checks.values() if check.kind == "calibration"}
    bumps = {check.id for check in program.checks.values() if check.kind == "bump-test"}
    for card in program.cards.values():
        blocks = [block for block in card.blocks if block.name == "bump"]
        printed = {one for block in blocks for one in ({block.check.value} if block.check else bumps)}
        yield card.where.file, frozenset(printed or (kinds if card.audience == "calibrator" else ()))
    for procedure in program.procedures.values():
        yield procedure.where.file, frozenset(given.value for given in procedure.checks)


def _window(key: str) -> dict[str, str] | None:
    return next((parts for family in WINDOWS if (parts := family.read(key)) is not None), None)


def _check_blocks(program: Program, faults: Faults) -> None:
    """The same of blocks that print what the detectors of the card's area are set to or show."""
    for card in program.cards.values():
        if card.scale is None or card.area is None:
            continue
        for block in card.blocks:
            asked = [given.value for given in block.channels] or list(SCALED)
            scales = [scale for channel in asked for scale in _in_area(program, card.area.value, channel)]
            others = [scale for scale in dict.fromkeys(scales) if scale != card.scale.value]
            if block.name in OF_DISPLAYS and others:
                found = (
                    f"block {block.name!r} of {card.area.value!r}, where displays are scaled in {' and '.join(others)},"
                    f" on a card for displays scaled in {card.scale.value}"
                )
                faults.add(block.where, found, LAWFUL)


def _meant(program: Program) -> Iterator[tuple[str, Given[str]]]:
    """File and scale of every card and procedure that names one."""
    scales = [(card.where.file, card.scale) for card in program.cards.values()]
    scales += [(procedure.where.file, procedure.scale) for procedure in program.procedures.values()]
    yield from ((file, scale) for file, scale in scales if scale is not None)


def scales_of(program: Program, key: str) -> tuple[str, ...]:
    """Gases that the displays are scaled in for which a figure holds; none for one that holds for any display."""
    setpoint, reading = keyed.SETPOINT.read(key) or keyed.SETPOINT_MARGIN.read(key), keyed.READING_TRUE.read(key)
    factor = next((parts for family in OF_SENSORS if (parts := family.read(key)) is not None), None)
    if setpoint is not None and setpoint["area"] in program.areas:
        return _in_area(program, setpoint["area"], setpoint["channel"])
    if reading is not None and reading["area"] in program.areas:
        return _in_area(program, reading["area"], FLAMMABLE)
    if factor is not None and factor["sensor"] in program.sensors:
        sensor = program.sensors[factor["sensor"]]
        return (sensor.shows.value,) if sensor.channel.value in SCALED else ()
    return ()


def _in_area(program: Program, area: str, channel: str) -> tuple[str, ...]:
    """Scales of a channel there; a gas without a channel of its own is seen by those that are scaled in another."""
    named = (channel,) if channel in program.channels_in(program.areas[area]) else SCALED
    shown = (
        sensor.shows.value
        for one in named
        if one in SCALED
        for _, _, sensor in program.fitted_in(program.areas[area], one)
    )
    return tuple(dict.fromkeys(shown))
