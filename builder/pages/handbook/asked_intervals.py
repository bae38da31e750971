"""Every interval that is asked of a check beside the one in force, and what readings recommend."""

from collections.abc import Iterator
from fractions import Fraction

from builder.pages.blocks import Block, Inlines, Strong
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, head, inlines, listed, table
from builder.program.checks import AskedInterval, Check
from builder.program.inventory import Unit
from builder.program.keys.families import UNIT_INTERVAL, UNIT_NEXT_INTERVAL

COLUMNS = ("Every", "Asked by", "Where", "Why", "Source", "In force")


def less_strict(asked: tuple[AskedInterval, ...], winner: AskedInterval | None) -> str:
    """The intervals that lose, each with who asks; empty where one alone is asked."""
    return "; ".join(f"{one.interval.text} ({one.by.value})" for one in asked if one is not winner)


def asked_table(book: HandbookContext, check: Check) -> tuple[Block, ...]:
    """All that is asked, the strictest first, with its reason; nothing where one alone asks."""
    if len(check.intervals) == 1:
        return ()
    every = sorted(check.intervals, key=lambda asked: asked.interval.value.nominal_days)
    return (head("Who asks for how often"), table(COLUMNS, (_row(book, check, asked) for asked in every)))


def _row(book: HandbookContext, check: Check, asked: AskedInterval) -> Row:
    where = [*book.links("area", asked.areas), *book.links("model", asked.models)]
    wins = asked is check.strictest or bool(where)
    said = inlines("where it is the strictest") if where else (Strong(inlines("yes")),)
    return (
        asked.interval.text,
        asked.by.value,
        listed(where, "everywhere"),
        asked.reason.value,
        asked.source.value,
        said if wins else "no: another is stricter",
    )


def in_force(book: HandbookContext, unit: Unit, check: Check) -> tuple[Inlines, Inlines, Inlines]:
    """Of one unit: the interval in force with who asks, the others, and what its readings recommend."""
    asked = check.asked_of(unit)
    winner = check.strictest_of(unit)
    if winner is None:
        return (), (), ()
    key = UNIT_INTERVAL(unit=unit.id, check=check.id)
    every = book.maybe(key) or inlines(winner.interval.text)
    return (
        inlines(every, f" ({winner.by.value})"),
        inlines(less_strict(asked, winner)),
        recommended(book, (unit,), check),
    )


def recommended(book: HandbookContext, units: tuple[Unit, ...], check: Check) -> Inlines:
    """The shortest interval that the readings of these units' sensors recommend, and whose it is; empty without one."""
    found = min(_recommendations(book, units), default=None) if check.adjust else None
    if found is None:
        return ()
    _, unit, sensor, key = found
    return inlines(book.fig(key), " for ", book.link("sensor", sensor), *(() if len(units) == 1 else (f" of {unit}",)))


def _recommendations(book: HandbookContext, units: tuple[Unit, ...]) -> Iterator[tuple[Fraction, str, str, str]]:
    for unit in units:
        for position in book.program.models[unit.model.value].positions:
            key = UNIT_NEXT_INTERVAL(unit=unit.id, sensor=position.sensor.value)
            figure = book.ledger.get(key)
            if figure is not None and isinstance(figure.exact, Fraction):
                yield figure.exact, unit.id, position.sensor.value, key
