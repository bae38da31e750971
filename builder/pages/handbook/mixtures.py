"""Mixtures of an area: limit, factor and corrected readings; and gases that disturb a sensor."""

from builder.pages.blocks import Block, Inlines, Table
from builder.pages.handbook.corrections import readings_shown, true_values
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, assumes, head, inlines, listed, table
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.mixtures import Mixture
from builder.program.sensors import Sensor

DILUTED = "none can be given: a part has no published limit, or the mixture is too diluted to burn"
TOO_LOW = "A share below zero makes the reading too low"
UNSEEN = "no sensor allowed here sees it"
NO_LIMIT = "no list of the site has a limit for every part"


def mixtures_in(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """The mixtures that an area names; nothing where it names none."""
    if not area.mixtures:
        return ()
    rows = (_row(book, area, mixture) for mixture in area.mixtures)
    columns = ("Mixture", "Parts of the vapour", "LEL", "Flammable: multiply by", "Vapour: multiply by",
               "Limit of the total, 8 h")  # fmt: skip
    made: list[Block] = [
        head("Mixtures met here"),
        table(columns, rows, caption=f"Mixtures, {area.name}", numeric=(2, 3, 4, 5)),
    ]
    corrected = _readings(book, area)
    made += [corrected] if corrected else []
    made.append(
        assumes(
            fixed("mixtures.parts"),
            *([fixed("mixtures.ranges")] if any(mixture.ranged for mixture in area.mixtures) else []),
            fixed("mixtures.total"),
        )
    )
    return tuple(made)


def _row(book: HandbookContext, area: Area, mixture: Mixture) -> Row:
    parts = (_part(book, area, mixture, gas) for gas in mixture.parts)
    return (
        mixture.name,
        listed(parts),
        book.fig(keyed.MIXTURE_LEL(area=area.id, mixture=mixture.id), absent=DILUTED),
        book.fig(keyed.MIXTURE_FACTOR(area=area.id, mixture=mixture.id, channel="flammable"), absent=UNSEEN),
        book.fig(keyed.MIXTURE_FACTOR(area=area.id, mixture=mixture.id, channel="vapour"), absent=UNSEEN),
        _total(book, area, mixture),
    )


def _part(book: HandbookContext, area: Area, mixture: Mixture, gas: str) -> Inlines:
    """How much of it one gas is; of ranges, where the explosive limit is lowest, and the range behind it."""
    named = {"area": area.id, "mixture": mixture.id, "gas": gas}
    if not mixture.ranged:
        return inlines(book.link("gas", gas), " ", book.fig(keyed.MIXTURE_PART(**named)))
    ends = inlines(book.fig(keyed.MIXTURE_PART_FROM(**named)), " to ", book.fig(keyed.MIXTURE_PART_TO(**named)))
    if keyed.MIXTURE_PART(**named) not in book.ledger:
        return inlines(book.link("gas", gas), " ", *ends)
    return inlines(book.link("gas", gas), " ", book.fig(keyed.MIXTURE_PART(**named)), " of ", *ends)


def _total(book: HandbookContext, area: Area, mixture: Mixture) -> Inlines:
    """The strictest total with the name of its list, then those of the other lists that count there."""
    strictest = book.fig(keyed.MIXTURE_EQUIVALENT_LIMIT(area=area.id, mixture=mixture.id), absent=NO_LIMIT)
    totals = []
    for listed_id in book.program.limit_lists_in(area):
        figure = book.ledger.get(keyed.MIXTURE_LIMIT_IN_LIST(area=area.id, mixture=mixture.id, list=listed_id))
        if figure is not None:
            totals.append((figure.number, book.program.library.limit_list(listed_id).label, book.fig(figure.key)))
    totals.sort(key=lambda one: one[0])
    if not totals:
        return strictest
    others = [inlines(*shown, f" by {label}") for _, label, shown in totals[1:]]
    return inlines(*strictest, f" by {totals[0][1]}", *(inlines("; ", *listed(others)) if others else ()))


def _readings(book: HandbookContext, area: Area) -> Table | None:
    known = []
    for mixture in area.mixtures:
        keys = [keyed.MIXTURE_READING(area=area.id, mixture=mixture.id, n=n) for n in readings_shown(book)]
        if any(key in book.ledger for key in keys):
            known.append((mixture.name, keys))
    return true_values(book, known, "Corrected readings of mixtures") if known else None


# ---- cross-sensitivity -----------------------------------------------------------------


def disturbance_blocks(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """What hazards of an area do to sensors that are not meant for them."""
    rows: list[Row] = []
    sensors = {sensor.id: sensor for model in book.program.models_in(area) for _, sensor in book.program.fitted(model)}
    for sensor in sensors.values():
        for gas in sensor.cross.table if sensor.cross else ():
            if area.hazard(gas):
                coefficient = book.fig(keyed.CROSS_COEFFICIENT(sensor=sensor.id, gas=gas))
                shown = book.fig(
                    keyed.CROSS_APPARENT(area=area.id, sensor=sensor.id, gas=gas), absent="no amount is given"
                )
                rows.append((book.link("gas", gas), book.link("sensor", sensor.id), coefficient, shown))
    if not rows:
        return ()
    columns = ("Gas", "Sensor it disturbs", "Share of it that is shown", "Shown at its second alarm or limit")
    return (
        head("Gases that disturb a reading"),
        table(columns, rows, numeric=(2, 3), caption=TOO_LOW),
        assumes(fixed("mixtures.disturbed")),
    )


def cross_of(book: HandbookContext, sensor: Sensor) -> tuple[Block, ...]:
    """The gases that move the reading of a kind of sensor."""
    if sensor.cross is None:
        return ()
    rows = (
        (book.link("gas", gas), book.fig(keyed.CROSS_COEFFICIENT(sensor=sensor.id, gas=gas)))
        for gas in sensor.cross.table
    )
    return (
        head("Gases that disturb its reading"),
        table(("Gas", "Share of it that is shown"), rows, numeric=(1,), caption=TOO_LOW),
        assumes(fixed("mixtures.another-sensor", source=sensor.cross.source.value.rstrip("."))),
    )


def disturbs(book: HandbookContext, gas: str) -> tuple[Block, ...]:
    """The kinds of sensor that a gas disturbs."""
    rows = [
        (book.link("sensor", sensor.id), book.fig(keyed.CROSS_COEFFICIENT(sensor=sensor.id, gas=gas)))
        for sensor in book.program.sensors.values()
        if sensor.cross is not None and gas in sensor.cross.table
    ]
    columns = ("Sensor", "Share of this gas that it shows")
    return (table(columns, rows, numeric=(1,), caption="Sensors that it disturbs"),) if rows else ()


def span_values(book: HandbookContext, cylinder: str) -> tuple[Block, ...]:
    """What to enter where the gas of a cylinder stands in for the one a sensor shows."""
    rows = [
        (
            book.link("sensor", sensor.id),
            book.link("gas", sensor.shows.value),
            book.link("gas", sensor.calibrated_with.value),
            book.fig(keyed.SPAN_ENTER(cylinder=cylinder, sensor=sensor.id)),
        )
        for sensor in book.program.sensors.values()
        if keyed.SPAN_ENTER(cylinder=cylinder, sensor=sensor.id) in book.ledger
    ]
    if not rows:
        return ()
    columns = ("Sensor", "Display shows", "Gas that stands in for it", "Span value to enter")
    return (head("Span value to enter"), table(columns, rows, numeric=(3,)))
