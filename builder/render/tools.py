"""What the reader's forms carry: exact factors and rounding rules, as attributes that their script reads."""

from collections.abc import Mapping
from fractions import Fraction

from builder.base.errors import RenderError
from builder.base.quantity import printed_unit
from builder.base.record import dataclass
from builder.base.rounding import Rounding
from builder.figures.figure import Figure
from builder.pages.reader_tools import Converter, Correction, Corrector

ALL_OF_IT = Fraction(1_000_000)
"""Parts per million of air that is nothing but the gas."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One gas to choose: its words, and attribute name (after ``data-``) -> value."""

    words: str
    data: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Form:
    """A form as it is set."""

    kind: str
    """``corrector`` or ``converter``."""
    title: str
    choices: tuple[Choice, ...]
    units: tuple[tuple[str, str], ...] = ()
    """Attribute name of a unit -> the unit as a reader sees it."""


def form_of(node: Corrector | Converter, figures: Mapping[str, Figure]) -> Form:
    """The form of a tool.

    :raises RenderError: for a figure that is missing or no number.
    """
    if isinstance(node, Corrector):
        choices = tuple(_correction(found, figures) for found in node.corrections)
        return Form("corrector", f"Correct a reading in: {node.area}", choices)
    units = dict.fromkeys(unit for scale in node.scales for unit, _ in scale.ppm_of_one)
    rule = (*_rule(node.rounding), ("whole", str(ALL_OF_IT)))
    choices = tuple(
        Choice(
            scale.gas, (("gas", scale.gas), *rule, *((_attribute(unit), str(one)) for unit, one in scale.ppm_of_one))
        )
        for scale in node.scales
    )
    return Form("converter", "Convert a concentration", choices, tuple((_attribute(u), printed_unit(u)) for u in units))


def _correction(node: Correction, figures: Mapping[str, Figure]) -> Choice:
    like, factor = _figure(node.like, figures), _figure(node.factor, figures)
    scales = [_exact(_figure(key, figures)) for key in node.full_scales]
    if like.rounding is None or not scales:
        raise RenderError(f"the correction of {node.gas} has no rounding or no range")
    data = (
        ("gas", node.gas),
        ("unit", printed_unit(like.unit)),
        ("factor", str(_exact(factor))),
        ("factor-printed", factor.text if factor.rounded == _exact(factor) else f"about {factor.text}"),
        ("top", str(max(scales))),
        ("full", str(min(scales))),
        *_rule(like.rounding),
    )
    return Choice(f"{node.gas} ({node.channel})", data)


def _rule(rounding: Rounding) -> tuple[tuple[str, str], ...]:
    return (
        ("direction", rounding.direction.value),
        ("step", "" if rounding.step is None else str(rounding.step)),
        ("digits", "" if rounding.digits is None else str(rounding.digits)),
        ("cap", "" if rounding.cap is None else str(rounding.cap)),
    )


def _figure(key: str, figures: Mapping[str, Figure]) -> Figure:
    if key not in figures:
        raise RenderError(f"no figure has the key {key!r}")
    return figures[key]


def _exact(figure: Figure) -> Fraction:
    if not isinstance(figure.exact, Fraction):
        raise RenderError(f"{figure.key} is no number")
    return figure.exact


def _attribute(unit: str) -> str:
    """The attribute that holds a unit's scale, as in ``of-mg-m3``."""
    return "of-" + unit.lower().replace("%", "percent-").replace("/", "-")
