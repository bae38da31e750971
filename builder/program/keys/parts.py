"""What differs from key to key in a family of figures."""

from fractions import Fraction
from typing import Final

from builder.base.rounding import plain
from builder.program.keys.family import KeyPart
from builder.program.records import RECORD_KINDS
from builder.program.setpoints import ALARMS
from builder.reference.library import LEL_BASES
from builder.reference.limits import LIMIT_KINDS
from builder.reference.rules import KINDS, QUANTITIES, STAY_OUT

PARTS: Final = (
    KeyPart(name="area", meaning="a work area", example="wet-well"),
    KeyPart(name="gas", meaning="a gas; its formula in lower case serves as well", example="methane"),
    KeyPart(
        name="channel", meaning="a gas that has its own sensor, `flammable`, `oxygen` or `vapour`", example="flammable"
    ),
    KeyPart(name="alarm", meaning="which alarm of a channel", example="low", choices=ALARMS),
    KeyPart(name="averaged", meaning="an alarm of an average", example="twa", choices=("twa", "stel")),
    KeyPart(name="bound", meaning="lower or upper explosive limit", example="lel", choices=("lel", "uel")),
    KeyPart(name="basis", meaning="a table of explosive limits", example=LEL_BASES[0], choices=LEL_BASES),
    KeyPart(name="list", meaning="a list of exposure limits: of the library, or of the site", example="niosh"),
    KeyPart(name="kind", meaning="a kind of exposure limit", example="twa", choices=LIMIT_KINDS),
    KeyPart(name="quantity", meaning="what rules limit", example="oxygen-low", choices=QUANTITIES),
    KeyPart(
        name="asks",
        meaning="what a rule asks but to stay out: an alarm sounds, people act, test or watch the air, do not go in",
        example="alarm",
        choices=tuple(kind for kind in KINDS if kind != STAY_OUT),
    ),
    KeyPart(name="model", meaning="a model of detector", example="four-gas"),
    KeyPart(name="sensor", meaning="a kind of sensor", example="catalytic"),
    KeyPart(name="unit", meaning="one detector", example="d-01"),
    KeyPart(name="check", meaning="a check", example="bump-test"),
    KeyPart(name="cylinder", meaning="a cylinder", example="mix-1"),
    KeyPart(name="station", meaning="a test station", example="bench-station"),
    KeyPart(name="part", meaning="a part of a detector that wears", example="pump-filter"),
    KeyPart(name="mixture", meaning="a mixture of an area", example="solvent"),
    KeyPart(
        name="air", meaning="saturated, or as humid as the site says", example="humid", choices=("saturated", "humid")
    ),
    KeyPart(name="procedure", meaning="a procedure", example="bump-test"),
    KeyPart(name="card", meaning="a pocket card", example="entrant"),
    KeyPart(name="revision", meaning="number of a revision", example="2"),
    KeyPart(name="file", meaning="a file of records, without its ending", example="rounds"),
    KeyPart(name="row", meaning="the row's line in its file", example="57"),
    KeyPart(name="month", meaning="year and month", example="2026-11"),
    KeyPart(name="record", meaning="a kind of record", example="bump-test", choices=RECORD_KINDS),
    KeyPart(name="entry", meaning="records that are kept equally long", example="calibrations"),
    KeyPart(name="n", meaning="a number; its decimal point is a hyphen: `2-5`", example="20"),
    KeyPart(name="scale", meaning="unit of a point of a chart", example="ppm", choices=("ppm", "lel", "vol")),
)
"""What may stand in a form between angle brackets."""


def number_part(value: Fraction | str) -> str:
    """How a number stands in a key.

    >>> number_part(Fraction(5, 2)), number_part("19.5")
    ('2-5', '19-5')
    """
    return (value if isinstance(value, str) else plain(value)).replace(".", "-")
