"""``handbook convert``: one concentration in another unit, with formula and source."""

import click

from builder.base import quantity as units
from builder.base.errors import OutOfRangeError, UsageError
from builder.base.nearest import hint
from builder.base.record import dataclass
from builder.base.rounding import Direction, Rounding, plain, printed_text
from builder.cli.telling import say
from builder.figures.formulas.conversion import KINDS, Conversion
from builder.figures.formulas.conversion import convert as convert_value
from builder.figures.formulas.registry import formula_of
from builder.reference.library import LEL_BASES, GasEntry, library
from builder.reference.published import Published

DIGITS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class ConversionRequest:
    """What the user wants converted."""

    value: units.Quantity
    source: str
    target: str
    gas: GasEntry | None
    basis: str | None
    temperature: units.Quantity | None
    pressure: units.Quantity | None


@click.command(context_settings={"ignore_unknown_options": False})
@click.argument("number")
@click.argument("from_unit")
@click.argument("to_unit")
@click.option("--gas", help="Name, formula or CAS number; needed for mass units and %LEL.")
@click.option("--temperature", metavar="T", help="Of the air, in °C unless a unit is written; needed for mass units.")
@click.option("--pressure", metavar="P", help="Absolute, in kPa unless a unit is written; needed for mass units.")
@click.option(
    "--basis",
    help="Table that defines 100 %LEL: iec-60079-20-1-2010 or nfpa-497-2008; needed for %LEL where they differ.",
)
def convert(
    number: str,
    from_unit: str,
    to_unit: str,
    gas: str | None,
    temperature: str | None,
    pressure: str | None,
    basis: str | None,
) -> int:
    r"""Convert NUMBER FROM_UNIT to TO_UNIT: ppm, ppb, %vol, mg/m3, g/m3, %LEL.

    \b
    Examples:
      handbook convert 10 ppm mg/m3 --gas hydrogen-sulfide --temperature 25 --pressure 101.325
      handbook convert 2.2 %vol %LEL --gas methane --basis iec-60079-20-1-2010
      handbook convert 10 %LEL g/m3 --gas propane --basis nfpa-497-2008 --temperature 20 --pressure 101.325
    """
    entry = library().find(gas) if gas else None
    asked = ConversionRequest(
        value=_quantity(number, from_unit),
        source=_unit(from_unit),
        target=_unit(to_unit),
        gas=entry,
        basis=basis,
        temperature=_with_default("--temperature", temperature, "°C"),
        pressure=_with_default("--pressure", pressure, "kPa"),
    )
    _require(asked)
    limit = _limit(asked) if "%LEL" in (asked.source, asked.target) else None
    _show(asked, limit, _conversion(asked, limit))
    return 0


def _require(asked: ConversionRequest) -> None:
    """Refuse rather than assume a temperature or a pressure: rules differ on both."""
    kinds = {KINDS[asked.source], KINDS[asked.target]}
    if kinds == {"mass"} or "mass" not in kinds:
        return
    options = (("--gas", asked.gas), ("--temperature", asked.temperature), ("--pressure", asked.pressure))
    missing = [name for name, given in options if given is None]
    if missing:
        raise UsageError(f"between volume and mass {' and '.join(missing)} must be given; nothing is assumed")


def _unit(text: str) -> str:
    try:
        unit = units.unit_spelling(text)
    except units.QuantityError as error:
        raise UsageError(f"{error.found}; allowed: {', '.join(KINDS)}{hint(text, KINDS)}") from error
    if unit not in KINDS:
        raise UsageError(f"{text!r} is no unit of concentration; allowed: {', '.join(KINDS)}")
    return unit


def _quantity(number: str, unit: str) -> units.Quantity:
    spelling = _unit(unit)
    try:
        return units.quantity(units.parse_number(number), spelling)
    except units.QuantityError as error:
        raise UsageError(str(error)) from error


def _with_default(option: str, text: str | None, unit: str) -> units.Quantity | None:
    if text is None:
        return None
    try:
        value = units.quantity(units.parse_number(text), unit)
    except units.QuantityError:
        try:
            value, _ = units.parse_quantity(text)
        except units.QuantityError as error:
            raise UsageError(f"{option}: {error}") from error
    if not units.same_dimension(value, unit):
        raise UsageError(f"{option} {text!r}; allowed: a value in {unit}")
    return value


def _limit(asked: ConversionRequest) -> Published:
    if asked.gas is None:
        raise UsageError("%LEL needs --gas")
    found = {basis: library().lel(asked.gas.id, basis) for basis in LEL_BASES}
    if asked.basis is not None:
        if asked.basis not in LEL_BASES:
            raise UsageError(f"--basis {asked.basis!r}; allowed: {', '.join(LEL_BASES)}")
        value = found[asked.basis]
        if value is None:
            raise OutOfRangeError(f"no published LEL of {asked.gas.name} in {asked.basis}")
        return value
    values = [value for value in found.values() if value is not None]
    if not values:
        raise OutOfRangeError(f"no published value in the library: LEL of {asked.gas.name}")
    if len({value.value for value in values}) > 1 or len(values) < len(LEL_BASES):
        listed = ", ".join(f"{basis} {value.text} %vol" if value else f"{basis} none" for basis, value in found.items())
        raise UsageError(f"%LEL of {asked.gas.name} depends on the table, so --basis is needed: {listed}")
    return values[0]


def _conversion(asked: ConversionRequest, limit: Published | None) -> Conversion:
    mass = units.quantity(asked.gas.molar_mass, "g/mol") if asked.gas else None
    lel = units.quantity(limit.value, limit.unit) if limit else None
    return convert_value(
        asked.value,
        asked.source,
        asked.target,
        molar_mass=mass,
        lel=lel,
        temperature=asked.temperature,
        pressure=asked.pressure,
    )


def _show(asked: ConversionRequest, limit: Published | None, result: Conversion) -> None:
    exact = units.magnitude(result.value, asked.target)
    rounding = Rounding(direction=Direction.NEAREST, digits=DIGITS, why="a conversion, to nearest")
    say(f"{printed_text(exact, rounding)} {units.printed_unit(asked.target)}")
    say(f"before rounding: {plain(exact)}; {rounding.words}")
    for name in result.formulas:
        formula = formula_of(name)
        say(f"formula {name}: {formula.expression}")
        say(f"  source: {formula.source}")
    if asked.gas is not None:
        say(
            f"gas: {asked.gas.name}, {asked.gas.formula}, CAS {asked.gas.cas}, "
            f"M = {plain(asked.gas.molar_mass)} g/mol from CIAAW standard atomic weights"
        )
    if limit is not None:
        say(f"LEL: {limit.text} %vol; {limit.source.cited()}" + ("" if limit.read else " (not read in its source)"))
