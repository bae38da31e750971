"""Single values: a choice, a number, a date, a quantity. What is wrong is noted, and a stand-in handed back."""

import re
from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction

from builder.base import quantity as quantities
from builder.base.nearest import near
from builder.base.where import Given
from builder.load.nodes import Node, Scalar, kind_of
from builder.program.faults import Faults
from builder.program.markings import MARKING, made_id

ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
LONGEST_ID = 80
"""Characters of an id: names of files are made of two of them and more, and have 255 at most."""
DEVICE = re.compile("con|prn|aux|nul|com[1-9]|lpt[1-9]")
"""What no file may be called on Windows, whatever its ending."""
DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
UNENTERED = "to be entered"
"""How a starter begins a text that only the site can know."""


def blank(node: Node) -> bool:
    """Whether a key has nothing after it, or an empty text."""
    return isinstance(node, Scalar) and not node.text.strip()


def given_of(scalar: Scalar) -> Given[str]:
    """A text with its line."""
    return Given(scalar.text, scalar.where, scalar.text)


def text_of(node: Node, faults: Faults, key: str) -> Given[str]:
    """The text of a node that must be a single value."""
    if isinstance(node, Scalar) and not blank(node):
        return given_of(node)
    found = f"nothing after {key!r}" if isinstance(node, Scalar) else f"{kind_of(node)} for {key!r}"
    faults.shape(node.where, found, "a single value")
    return Given("", node.where, "")


def single(node: Node, faults: Faults, what: str, allowed: str) -> Scalar | None:
    """A node that must be a single value; anything else is noted as a collection for what it stands for."""
    if isinstance(node, Scalar):
        return node
    faults.shape(node.where, f"a collection for {what}", allowed)
    return None


def check_id(given: Given[str], form: re.Pattern[str], allowed: str, faults: Faults) -> None:
    """Note what is wrong with an id."""
    if given.value and not form.fullmatch(given.value):
        close = made_id(given.value) if form is MARKING else made_id(given.value).lower()
        faults.id_form(given.where, f"id {given.value!r}", allowed, (close,) if close else ())
    elif len(given.value) > LONGEST_ID:
        faults.id_form(given.where, f"an id of {len(given.value)} characters", f"at most {LONGEST_ID}")
    elif DEVICE.fullmatch(given.value.casefold()):
        found = f"id {given.value!r}, which names a device on Windows, where no file can have it"
        faults.id_form(given.where, found, f"another id, such as {given.value}-1")


def choice_of(scalar: Scalar, allowed: Iterable[str], faults: Faults, key: str) -> Given[str]:
    """Text that is one of ``allowed``."""
    options = tuple(allowed)
    if scalar.text not in options:
        told = "one of " + ", ".join(options) if options else f"no {key!r}: there is nothing to choose from"
        faults.choice(scalar.where, f"{scalar.text!r} for {key!r}", told, near(scalar.text, options))
        return Given(next(iter(options), ""), scalar.where, scalar.text)
    return given_of(scalar)


def number_of(scalar: Scalar, faults: Faults, key: str) -> Given[Fraction]:
    """A number above zero without unit."""
    try:
        value = quantities.parse_number(scalar.text)
    except quantities.QuantityError as error:
        faults.number(scalar.where, f"{scalar.text!r} for {key!r}", error.allowed)
        return Given(Fraction(1), scalar.where, scalar.text)
    if value <= 0:
        faults.range(scalar.where, f"{scalar.text!r} for {key!r}", "a number above zero")
        return Given(Fraction(1), scalar.where, scalar.text)
    return Given(value, scalar.where, scalar.text)


def whole_of(scalar: Scalar, least: int, faults: Faults, key: str) -> Given[int]:
    """A whole number of at least ``least``."""
    if not re.fullmatch(r"\d{1,9}", scalar.text) or int(scalar.text) < least:
        faults.range(scalar.where, f"{scalar.text!r} for {key!r}", f"a whole number of at least {least}")
        return Given(least, scalar.where, scalar.text)
    return Given(int(scalar.text), scalar.where, scalar.text)


def day_of(scalar: Scalar, faults: Faults, key: str) -> Given[date]:
    """A date written as YYYY-MM-DD."""
    try:
        day = date.fromisoformat(scalar.text) if DAY.fullmatch(scalar.text) else None
    except ValueError:
        day = None
    if day is None:
        faults.time(scalar.where, f"{scalar.text!r} for {key!r}", "a real date as year-month-day, such as 2026-11-25")
    return Given(day or date.min, scalar.where, scalar.text)


def quantity_of(
    scalar: Scalar, units: Sequence[str], faults: Faults, key: str, *, least: int | None = 0, above: bool = False
) -> Given[quantities.Quantity]:
    """A quantity of one of the dimensions of ``units``, not below ``least`` (or above it)."""
    stand_in: Given[quantities.Quantity] = Given(quantities.quantity(1, units[0]), scalar.where, scalar.text)
    try:
        value, spelling = quantities.parse_quantity(scalar.text)
    except quantities.QuantityError as error:
        allowed = f"a quantity in {' or '.join(units)}, such as 10 {units[0]}"
        close = [
            name
            for name in error.nearest
            if any(quantities.same_dimension(quantities.parse_quantity(f"1 {name}")[0], one) for one in units)
        ]
        faults.number(scalar.where, f"{key!r}: {error.found}", allowed, close)
        return stand_in
    fitting = [name for name in units if quantities.same_dimension(value, name)]
    unit = spelling if spelling in fitting else next(iter(fitting), None)
    if unit is None:
        faults.number(scalar.where, f"{scalar.text!r} for {key!r}", f"a quantity in {' or '.join(units)}")
        return stand_in
    size = quantities.magnitude(value, unit)
    if least is not None and (size < least or (above and size == least)):
        faults.range(scalar.where, f"{scalar.text!r} for {key!r}", f"{'above' if above else 'at least'} {least} {unit}")
        return stand_in
    return Given(value, scalar.where, scalar.text)


def written_unit(given: Given[quantities.Quantity], units: Sequence[str]) -> str:
    """The one of ``units`` that a quantity is written in, in whatever spelling; ppm for ppb."""
    try:
        _, spelling = quantities.parse_quantity(given.text)
    except quantities.QuantityError:
        return units[0]
    if spelling in units:
        return spelling
    return next((unit for unit in reversed(units) if quantities.same_dimension(given.value, unit)), units[0])
