"""Cylinders: their last day, what is left in them and what their label says."""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import Quantity, magnitude
from builder.base.rounding import Direction, Rounding
from builder.base.rounding import printed_text as rounded
from builder.base.where import Given
from builder.figures.day_margins import day_of, near, past
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.wording import figure_text, keys, severity_allowed, short_list
from builder.program.cylinders import Component, Cylinder
from builder.program.keys import families as keyed
from builder.program.program import Program


@rule(Severity.STOP)
def cylinder_expired(program: Program, ledger: Ledger, cylinder: Cylinder) -> Iterator[Finding]:
    """A cylinder past its last good day; the expiry day itself is still good. Every cylinder serves a check.

    Source: the certificate of the gas.
    """
    # A stop: take it out of the content, or replace it
    if not past(cylinder.expires.value, ledger.today):
        return
    units = program.units.values()
    users = [unit.id for unit in units if unit.in_use and unit.checked_with(cylinder.id)]
    key = keyed.CYLINDER_EXPIRES(cylinder=cylinder.id)
    yield cylinder_expired.found(
        message=f"Cylinder {cylinder.id} expired on {figure_text(ledger, key, cylinder.expires.text)}"
        + (f"; units in use are checked with it: {short_list(users)}." if users else "."),
        where=cylinder.expires.where,
        figures=keys(ledger.get(key), ledger.get(keyed.AS_OF())),
        source=f"certificate: {cylinder.certificate.value}",
        mend="replace it, and judge the checks made with it since then",
    )


@rule(Severity.NOTE)
def cylinder_expires_soon(ledger: Ledger, cylinder: Cylinder) -> Iterator[Finding]:
    """A cylinder that has at most thirty days left.

    Source: the certificate of the gas.
    """
    # A note: there is time to order
    if near(cylinder.expires.value, ledger.today):
        key = keyed.CYLINDER_EXPIRES(cylinder=cylinder.id)
        yield cylinder_expires_soon.found(
            message=f"Cylinder {cylinder.id} expires on {figure_text(ledger, key, cylinder.expires.text)}.",
            where=cylinder.expires.where,
            figures=keys(ledger.get(key), ledger.get(keyed.AS_OF())),
            source=f"certificate: {cylinder.certificate.value}",
            mend="order its successor",
        )


@rule(Severity.STOP, source="arithmetic on the pressure read")
def cylinder_empty(program: Program, ledger: Ledger, cylinder: Cylinder) -> Iterator[Finding]:
    """A cylinder that holds no gas for another check, though units in use are to be checked with it.

    Source: arithmetic on the pressure read and the pressure at which it is used no more.
    """
    # A stop for each that a unit in use names
    left = ledger.get(keyed.CYLINDER_TESTS_LEFT(cylinder=cylinder.id))
    used = [unit.id for unit in program.units.values() if unit.in_use and unit.checked_with(cylinder.id)]
    if left is not None and left.number < 1 and used:
        pressure = ledger.get(keyed.CYLINDER_PRESSURE(cylinder=cylinder.id))
        yield cylinder_empty.found(
            message=f"Cylinder {cylinder.id} holds no gas for another check"
            + (f" at {pressure.printed}" if pressure else "")
            + f", but is named by units in use: {short_list(used)}.",
            where=cylinder.pressure.where,
            figures=keys(left, pressure, ledger.get(keyed.CYLINDER_STOP_AT(cylinder=cylinder.id))),
            mend="name a cylinder that holds gas, or enter its pressure as it is",
            subject=f"cylinder:{cylinder.id}",
            touches=tuple(f"unit:{unit}" for unit in used),
        )


@rule(Severity.NOTE, source="arithmetic on pressure, volume and recorded checks")
def cylinder_runs_out_soon(ledger: Ledger, cylinder: Cylinder) -> Iterator[Finding]:
    """A cylinder that is empty within thirty days at present use, or whose successor should have been ordered by now.

    Source: arithmetic on pressure, volume and recorded checks; see the figures.
    """
    # A note for each; expiry has a rule of its own
    now = ledger.today
    runs_out, order = (
        ledger.get(keyed.CYLINDER_RUNS_OUT(cylinder=cylinder.id)),
        ledger.get(keyed.CYLINDER_REORDER_BY(cylinder=cylinder.id)),
    )
    last, late = day_of(runs_out), day_of(order)
    if runs_out is None or last is None or last >= cylinder.expires.value:
        return
    if near(last, now) or past(last, now) or (late is not None and past(late, now)):
        ordered = f"; its successor was to be ordered by {order.printed}" if order and late and late < now else ""
        yield cylinder_runs_out_soon.found(
            message=f"Cylinder {cylinder.id} covers the checks made with it until {runs_out.printed}{ordered}.",
            where=cylinder.pressure.where,
            figures=keys(
                runs_out,
                ledger.get(keyed.CYLINDER_TESTS_LEFT(cylinder=cylinder.id)),
                ledger.get(keyed.CYLINDER_TESTS_A_DAY(cylinder=cylinder.id)),
                order,
            ),
            mend="order its successor",
        )


@rule(Severity.STOP)
def lel_basis(program: Program, ledger: Ledger, cylinder: Cylinder) -> Iterator[Finding]:
    """A cylinder labelled in %LEL on another basis than the site's: the same gas has another number here.

    Source: the two tables of explosive limits; 2.2 %vol methane is 50 %LEL on 4.4 %vol and 44 %LEL on 5.0 %vol.
    """
    # A stop: who adjusts to the label sets every instrument wrong
    basis = program.site.basis.lel.value
    for part in cylinder.components:
        if part.label is None or part.label_basis is None or part.label_basis.value == basis:
            continue
        gas = program.gases[part.gas.value]
        here = ledger.get(keyed.CYLINDER_GAS_LEL(cylinder=cylinder.id, gas=gas.id))
        certified = ledger.get(keyed.CYLINDER_GAS(cylinder=cylinder.id, gas=gas.id))
        yield lel_basis.found(
            message=f"Cylinder {cylinder.id}: its label says {part.label.text} of {gas.name} on the basis "
            f"{part.label_basis.value}, the site's basis is {basis}"
            + (f", on which it is {here.printed}." if here else "."),
            where=part.label_basis.where,
            figures=keys(here, certified, ledger.get(keyed.GAS_LEL(gas=gas.id))),
            source=program.library.source(basis).cited(),
            mend="get a cylinder labelled on the site's basis or in %vol only; never adjust to this label",
        )


ALLOWED = Fraction(5, 100)
"""Share of the label by which it may differ: labels are rounded."""
CHART = Rounding(direction=Direction.NEAREST, digits=3, why="a comparison, to nearest")


@rule(Severity.STOP, Severity.WARN, Severity.NOTE)
def label_mismatch(program: Program, ledger: Ledger, cylinder: Cylinder) -> Iterator[Finding]:
    """A cylinder whose %LEL label does not follow from its certified content on the very basis the label names.

    Labels are rounded, so a difference up to 5 % of the label is let pass. Source: the table of explosive limits on
    the label.
    """
    # A stop; a warn where the table has no limit for the gas or it was not read
    for part in cylinder.components:
        if part.label is None or part.label_basis is None:
            continue
        basis, name = part.label_basis.value, program.gases[part.gas.value].name
        lel = ledger.get(keyed.GAS_BOUND_IN_TABLE(gas=part.gas.value, bound="lel", basis=basis))
        severity, told = _judge(part, part.label, lel)
        if told:
            yield label_mismatch.found(
                severity=severity,
                message=f"Cylinder {cylinder.id}: {part.value.text} of {name} {told}",
                where=part.label.where,
                figures=keys(ledger.get(keyed.CYLINDER_GAS(cylinder=cylinder.id, gas=part.gas.value)), lel),
                source=lel.source if lel else f"table {basis}",
                mend="compare label and certificate; do not use the cylinder until they agree",
            )


def _judge(part: Component, label: Given[Quantity], lel: Figure | None) -> tuple[Severity, str]:
    """The weight and the words of a fault; no words where the label is right."""
    if lel is None or not isinstance(lel.exact, Fraction):
        return Severity.WARN, f"is labelled {label.text} on a basis that has no explosive limit for it: not checked."
    follows = 100 * magnitude(part.value.value, "%vol") / lel.exact
    stated = magnitude(label.value, "%LEL")
    if abs(follows - stated) <= ALLOWED * stated:
        return Severity.NOTE, ""
    severity, caveat = severity_allowed(Severity.STOP, lel)
    told = (
        f"is {rounded(follows, CHART)} %LEL on the label's own basis, but the label says {label.text}; "
        f"more than 5 % of the label is more than its rounding.{caveat}"
    )
    return severity, told
