"""Gases: one index, and one page a gas with its limits, the sensors that see it and the places it is met."""

from collections.abc import Iterator

from builder.figures.figure import Figure
from builder.pages.blocks import Block, Inlines, Strong
from builder.pages.compositions import Page
from builder.pages.handbook.air import oxygen_here, vapour_of
from builder.pages.handbook.charts import displacement, ladder_of_gas, times_of_gas
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.labels import RISKS, small, word
from builder.pages.handbook.mixtures import disturbs
from builder.pages.handbook.parts import (
    Row,
    assumes,
    code,
    facts,
    folded,
    head,
    inlines,
    listed,
    page,
    para,
    points,
    table,
    to,
)
from builder.program.gases import OXYGEN_GAS, Gas
from builder.program.keys import families as keyed
from builder.reference.library import LEL_BASES
from builder.reference.limits import KINDS_BY_ID, LIMIT_KINDS

PROPERTIES = {"lel": "Lower explosive limit", "uel": "Upper explosive limit", "ionisation-energy": "Ionisation energy"}

UNNOTICED = {"hydrogen-sulfide": "gases.nose", "carbon-dioxide": "gases.carbon-dioxide"}
UNNOTICED |= dict.fromkeys(("nitrogen", "argon", "helium"), "gases.smothers")
"""Gases of the library that people do not notice, or stop noticing, and what is said of it."""


def gas_pages(book: HandbookContext) -> Iterator[Page]:
    """The index and a page a gas."""
    rows = (
        (
            book.link("gas", gas.id),
            code(gas.entry.formula),
            code(gas.entry.cas),
            book.fig(keyed.GAS_LEL(gas=gas.id)),
            listed(book.links("area", tuple(area.id for area in book.program.areas.values() if area.hazard(gas.id)))),
        )
        for gas in book.program.gases.values()
    )
    yield index_page(
        "gases",
        fixed("gases.lead"),
        (table(("Gas", "Formula", "CAS number", "LEL on the site's basis", "A hazard in"), rows, numeric=(3,)),),
    )
    for gas in book.program.gases.values():
        yield _gas_page(book, gas)


def _gas_page(book: HandbookContext, gas: Gas) -> Page:
    """What decides first; how a number is printed in which table is folded away."""
    blocks: tuple[Block, ...] = (
        *book.found(f"gas:{gas.id}"),
        *ladder_of_gas(book, gas),
        _properties(book, gas),
        *_met(book, gas),
        *_sensors(book, gas),
        *_limits(book, gas),
        *vapour_of(book, gas),
        *_oxygen(book, gas),
        *displacement(book, gas),
        *_unknown(book, gas),
        *folded((*times_of_gas(book, gas), *_tables(book, gas), *_held(book, gas))),
    )
    lead = fixed("gases.one", gas=small(gas.name))
    return page(f"gas:{gas.id}", gas.name, "gases", lead, blocks)


def _properties(book: HandbookContext, gas: Gas) -> Block:
    entry = gas.entry
    return facts(
        ("Formula", code(entry.formula)),
        ("CAS number", code(entry.cas)),
        ("Also called", ", ".join(_other_names(gas)) if _other_names(gas) else None),
        ("Density relative to air", book.maybe(keyed.GAS_DENSITY(gas=gas.id))),
        ("Lower explosive limit (LEL)", _bound(book, gas, "lel")),
        ("Upper explosive limit (UEL)", _bound(book, gas, "uel")),
        ("Molar mass", book.fig(keyed.GAS_MOLAR_MASS(gas=gas.id))),
        ("Ionisation energy", book.maybe(keyed.GAS_IONISATION_ENERGY(gas=gas.id))),
        ("Clings to sampling tubes", fixed("gases.clings") if gas.clings else None),
        ("Not noticed", fixed(UNNOTICED[entry.id]) if entry.id in UNNOTICED else None),
        *((f"{PROPERTIES[prop]} set by the site", _override(gas, prop)) for prop in gas.overrides),
    )


def _other_names(gas: Gas) -> tuple[str, ...]:
    named = (gas.entry.name, *gas.entry.synonyms)
    return tuple(name for name in named if name.casefold() != gas.name.casefold())


def _bound(book: HandbookContext, gas: Gas, bound: str) -> Inlines | None:
    """A limit of explosion on the site's basis, in every unit that a reader meets."""
    own = keyed.GAS_LEL(gas=gas.id) if bound == "lel" else keyed.GAS_UEL(gas=gas.id)
    keys = (own, keyed.GAS_BOUND_PPM(gas=gas.id, bound=bound), keyed.GAS_BOUND_MASS(gas=gas.id, bound=bound))
    found = [figure for figure in map(book.maybe, keys) if figure]
    return listed(found, mark=", ") if found else None


def _override(gas: Gas, prop: str) -> Inlines:
    override = gas.overrides[prop]
    return inlines(f"{override.reason.value} Source: {override.source.value} (", *code(override.value.where), ")")


# ---- flammability --------------------------------------------------------------------


def _tables(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    """What each table of explosive limits prints, and where the exposure limits stand."""
    site = book.program.site.basis.lel.value
    rows = [
        (
            _basis(book, basis, marked=basis == site),
            book.fig(keyed.GAS_BOUND_IN_TABLE(gas=gas.id, bound="lel", basis=basis), absent="no value"),
            book.fig(keyed.GAS_BOUND_IN_TABLE(gas=gas.id, bound="uel", basis=basis), absent="no value"),
        )
        for basis in LEL_BASES
        if keyed.GAS_BOUND_IN_TABLE(gas=gas.id, bound="lel", basis=basis) in book.ledger
    ]
    made: list[Block] = []
    if rows:
        columns = ("Table", "Lower (LEL)", "Upper (UEL)")
        made += [head("Explosive limits as each table prints them"), table(columns, rows, numeric=(1, 2))]
        made.append(assumes(fixed("gases.normal-air")))
    sources = tuple(_sources(book, gas))
    return (*made, head("Sources of the exposure limits"), *points(sources)) if sources else tuple(made)


def _sources(book: HandbookContext, gas: Gas) -> Iterator[Inlines]:
    """Each source once, with the kinds of limit of a list that stand there."""
    found: dict[tuple[str, Inlines], list[str]] = {}
    for list_id, kind, key in _known_limits(book, gas):
        found.setdefault((list_id, _remarks(book.ledger[key])), []).append(KINDS_BY_ID[kind].short)
    for (list_id, remarks), kinds in found.items():
        yield inlines(f"{_list_name(book, list_id)}, {', '.join(kinds)}: ", *remarks)


def _basis(book: HandbookContext, basis: str, *, marked: bool) -> Inlines:
    cited = book.program.library.source(basis).cited()
    return inlines(cited, " ", Strong(inlines("(the site's basis)"))) if marked else inlines(cited)


def _oxygen(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    made = oxygen_here(book) if gas.entry.id == OXYGEN_GAS else ()
    return (head("At the height of this site"), *made) if made else ()


# ---- exposure limits -------------------------------------------------------------------


def _limits(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    rows: list[Row] = []
    for list_id, kind, key in _known_limits(book, gas):
        name = inlines(_list_name(book, list_id))
        by_mass = book.maybe(keyed.EXPOSURE_LIMIT_MASS.on(key)) or inlines("")
        rows.append((name, KINDS_BY_ID[kind].name, book.fig(key), by_mass))
        lowered = book.maybe(keyed.EXPOSURE_LIMIT_LONG_SHIFT(gas=gas.id, list=list_id, kind=kind))
        if lowered:
            rows.append((name, "TWA, lowered for the longest shift", lowered, ""))
    if not rows:
        return ()
    columns = ("List", "Kind", "By volume", "By mass, approximate")
    return (
        head("Exposure limits"),
        table(columns, rows, numeric=(2, 3)),
        assumes(inlines(*fixed("gases.by-mass"), " Other values: ", to("page:conversions", "conversions"), ".")),
    )


def _known_limits(book: HandbookContext, gas: Gas) -> Iterator[tuple[str, str, str]]:
    """List, kind and key of every exposure limit there is."""
    for list_id in book.program.limit_lists:
        for kind in LIMIT_KINDS:
            key = keyed.EXPOSURE_LIMIT(gas=gas.id, list=list_id, kind=kind)
            if key in book.ledger:
                yield list_id, kind, key


def _list_name(book: HandbookContext, list_id: str) -> str:
    return book.program.library.limit_list(list_id).name


def _remarks(figure: Figure) -> Inlines:
    note = figure.note if figure.note and figure.note not in figure.source else ""
    parts = (figure.source, "; " if note else "", note, "" if figure.read else " (not read in its source)")
    return inlines(*(part for part in parts if part))


# ---- what nobody says ------------------------------------------------------------------


def _unknown(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    """One line that names what has no value here, so that silence is not taken for safety."""
    decided = (
        (keyed.GAS_LEL, "the lower explosive limit"),
        (keyed.GAS_DENSITY, "the density"),
        (keyed.GAS_IONISATION_ENERGY, "the ionisation energy"),
    )
    missing = [words for family, words in decided if family(gas=gas.id) not in book.ledger]
    known = {list_id for list_id, _, _ in _known_limits(book, gas)}
    missing += [f"a limit of {_list_name(book, name)}" for name in book.program.limit_lists if name not in known]
    missing.append("from what amount it can be smelled")
    burns = () if keyed.GAS_LEL(gas=gas.id) in book.ledger else inlines(" ", *fixed("gases.no-value"))
    return (para(fixed("gases.unknown", missing=", ".join(missing)), burns),)


# ---- sensors, areas, cylinders -------------------------------------------------------------


def _sensors(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    sensors = book.program.sensors.values()
    rows = [
        (
            book.link("sensor", sensor.id),
            "scaled in this gas" if sensor.shows.value == gas.id else "corrected by a factor",
            book.maybe(keyed.FACTOR(sensor=sensor.id, gas=gas.id)) or "none needed",
        )
        for sensor in sensors
        if sensor.sees(gas.id)
    ]
    blind = [sensor.id for sensor in sensors if gas.id in {given.value for given in sensor.blind_to}]
    set_with = [sensor.id for sensor in sensors if sensor.calibrated_with.value == gas.id]
    seen = table(("Sensor", "Display", "Multiply the reading by"), rows, numeric=(2,))
    more = facts(
        ("Adjusted with this gas", listed(book.links("sensor", set_with)) if set_with else None),
        ("Blind to this gas", listed(book.links("sensor", blind)) if blind else None),
    )
    return (
        head("Sensors"),
        seen if rows else para(Strong(fixed("gases.not-seen"))),
        *((more,) if more.rows else ()),
        *disturbs(book, gas.id),
    )


def _met(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    rows: list[Row] = []
    for area in book.program.areas.values():
        hazard = area.hazard(gas.id)
        if hazard:
            why = f"{word(RISKS, hazard.risk)}: {hazard.why.value}" if hazard.risk else hazard.why.value
            rows.append((book.link("area", area.id), why))
    return (head("Where it is a hazard"), table(("Area", "Why"), rows)) if rows else (para(fixed("gases.no-area")),)


def _held(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    held = [
        (book.link("cylinder", cylinder.id), book.fig(keyed.CYLINDER_GAS(cylinder=cylinder.id, gas=gas.id)))
        for cylinder in book.program.cylinders.values()
        if cylinder.component(gas.id)
    ]
    return (head("Cylinders that hold it"), table(("Cylinder", "Certified"), held, numeric=(1,))) if held else ()
