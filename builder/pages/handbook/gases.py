"""Gases: one index, and one page a gas with its limits, the sensors that see it and the places it is met."""

from __future__ import annotations

from collections.abc import Iterator

from builder.pages.blocks import Absent, Block, Inlines, Page, Strong
from builder.pages.handbook.air import oxygen_here, vapour_of
from builder.pages.handbook.charts import conversions_of_gas, displacement, limits_of_gas
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import RISKS, small, word
from builder.pages.handbook.mixtures import disturbs
from builder.pages.handbook.parts import assumes, code, facts, head, inlines, listed, page, para, table, to
from builder.pages.handbook.sections import path_of
from builder.program.areas import OXYGEN_GAS
from builder.program.gases import Gas
from builder.program.keys.families import (
    CYLINDER_GAS,
    EXPOSURE_LIMIT,
    EXPOSURE_LIMIT_LONG_SHIFT,
    EXPOSURE_LIMIT_MASS,
    FACTOR,
    GAS_BOUND_IN_TABLE,
    GAS_BOUND_MASS,
    GAS_BOUND_PPM,
    GAS_DENSITY,
    GAS_IONISATION_ENERGY,
    GAS_LEL,
    GAS_MOLAR_MASS,
    GAS_UEL,
)
from builder.reference.library import LEL_BASES
from builder.reference.limits import KINDS_BY_ID, LIMIT_KINDS

PROPERTIES = {"lel": "Lower explosive limit", "uel": "Upper explosive limit", "ionisation-energy": "Ionisation energy"}


def gas_pages(book: HandbookContext) -> Iterator[Page]:
    """The index and a page a gas."""
    rows = (
        (
            (book.link("gas", gas.id),),
            code(gas.entry.formula),
            code(gas.entry.cas),
            book.fig(GAS_LEL(gas=gas.id)),
            listed(book.links("area", _areas(book, gas.id))),
        )
        for gas in book.program.gases.values()
    )
    yield page(
        id="page:gases",
        path=path_of("page:gases"),
        title="Gases",
        section="gases",
        lead=fixed("gases.lead"),
        blocks=(table(("Gas", "Formula", "CAS number", "LEL on the site's basis", "A hazard in"), rows, numeric=(3,)),),
    )
    for gas in book.program.gases.values():
        yield _gas_page(book, gas)


def _gas_page(book: HandbookContext, gas: Gas) -> Page:
    return page(
        id=f"gas:{gas.id}",
        path=path_of(f"gas:{gas.id}"),
        title=gas.name,
        section="gases",
        lead=fixed("gases.one", gas=small(gas.name)),
        blocks=(
            *book.found(f"gas:{gas.id}"),
            *_identity(book, gas),
            *_flammability(book, gas),
            *vapour_of(book, gas),
            *_oxygen(book, gas),
            *displacement(book, gas),
            *_limits(book, gas),
            *limits_of_gas(book, gas),
            *conversions_of_gas(book, gas),
            *_sensors(book, gas),
            *_met(book, gas),
        ),
    )


def _areas(book: HandbookContext, gas: str) -> tuple[str, ...]:
    return tuple(area.id for area in book.program.areas.values() if area.hazard(gas))


def _identity(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    entry = gas.entry
    return (
        head("Identity"),
        facts(
            ("Name in the library", inlines(entry.name)),
            ("Other names", inlines(", ".join(entry.synonyms)) if entry.synonyms else None),
            ("Formula", code(entry.formula)),
            ("CAS number", code(entry.cas)),
            ("Molar mass", book.fig(GAS_MOLAR_MASS(gas=gas.id))),
            ("Density relative to air", book.fig(GAS_DENSITY(gas=gas.id))),
            ("Ionisation energy", book.fig(GAS_IONISATION_ENERGY(gas=gas.id))),
            *((f"{PROPERTIES[prop]} set by the site", _override(gas, prop)) for prop in gas.overrides),
        ),
    )


def _override(gas: Gas, prop: str) -> Inlines:
    override = gas.overrides[prop]
    return inlines(f"{override.reason.value} Source: {override.source.value} (", *code(override.value.where), ")")


# ---- flammability --------------------------------------------------------------------


def _flammability(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    site = book.program.site.basis.lel.value
    rows = [
        (
            _basis(book, basis, marked=basis == site),
            book.fig(GAS_BOUND_IN_TABLE(gas=gas.id, bound="lel", basis=basis)),
            book.maybe(GAS_BOUND_IN_TABLE(gas=gas.id, bound="uel", basis=basis))
            or book.fig(GAS_UEL(gas=gas.id) if basis == site else ""),
        )
        for basis in LEL_BASES
    ]
    made: list[Block] = [
        head("Explosive limits"),
        table(("Table", "Lower (LEL)", "Upper (UEL)"), rows, caption="As each table prints them", numeric=(1, 2)),
    ]
    if GAS_LEL(gas=gas.id) not in book.ledger:
        return (*made, para(fixed("gases.no-value")))
    chart = (
        (inlines("By volume"), book.fig(GAS_LEL(gas=gas.id)), book.fig(GAS_UEL(gas=gas.id))),
        *(
            (inlines(label), *(book.fig(family(gas=gas.id, bound=bound)) for bound in ("lel", "uel")))
            for label, family in (("In parts per million", GAS_BOUND_PPM), ("By mass", GAS_BOUND_MASS))
        ),
    )
    made.append(table(("Unit", "Lower (LEL)", "Upper (UEL)"), chart, caption="As this site uses them", numeric=(1, 2)))
    made.append(assumes(fixed("gases.normal-air")))
    return tuple(made)


def _basis(book: HandbookContext, basis: str, *, marked: bool) -> Inlines:
    cited = book.program.library.source(basis).cited()
    return inlines(cited, " ", Strong(inlines("(the site's basis)"))) if marked else inlines(cited)


def _oxygen(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    made = oxygen_here(book) if gas.entry.id == OXYGEN_GAS else ()
    return (head("At the height of this site"), *made) if made else ()


# ---- exposure limits -------------------------------------------------------------------


def _limits(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    rows: list[tuple[Inlines, ...]] = []
    for list_id in book.program.limit_lists:
        kinds = [kind for kind in LIMIT_KINDS if EXPOSURE_LIMIT(gas=gas.id, list=list_id, kind=kind) in book.ledger]
        name = book.program.library.limit_list(list_id).name
        for kind in kinds:
            rows.append(_limit(book, name, EXPOSURE_LIMIT(gas=gas.id, list=list_id, kind=kind), kind))
            rows += _long_shift(book, name, EXPOSURE_LIMIT_LONG_SHIFT(gas=gas.id, list=list_id, kind=kind))
        if not kinds:
            none: Inlines = (Absent("no value of this list here"),)
            rows.append((inlines(name), inlines(""), none, inlines(""), inlines("")))
    return (
        head("Exposure limits"),
        table(("List", "Kind", "By volume", "By mass, approximate", "Source"), rows, numeric=(2, 3)),
        assumes(
            fixed("gases.by-mass"),
        ),
        para("How to convert other values: ", to("page:conversions", "conversions"), "."),
    )


def _long_shift(book: HandbookContext, name: str, key: str) -> list[tuple[Inlines, ...]]:
    figure = book.ledger.get(key)
    if figure is None:
        return []
    kind = "TWA, lowered for the longest turn of work"
    return [(inlines(name), inlines(kind), book.fig(key), inlines(""), inlines(f"{figure.source} ({figure.note})"))]


def _limit(book: HandbookContext, name: str, key: str, kind: str) -> tuple[Inlines, ...]:
    figure = book.ledger[key]
    note = figure.note if figure.note and figure.note not in figure.source else ""
    remarks = (figure.source, f" {note}" if note else "", "" if figure.read else " (not read in its source)")
    return (
        inlines(name),
        inlines(KINDS_BY_ID[kind].name),
        book.fig(key),
        book.fig(EXPOSURE_LIMIT_MASS.on(key)),
        inlines(*(part for part in remarks if part)),
    )


# ---- sensors, areas, cylinders -------------------------------------------------------------


def _sensors(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    sensors = book.program.sensors.values()
    rows = [
        (
            (book.link("sensor", sensor.id),),
            inlines("scaled in this gas") if sensor.shows.value == gas.id else inlines("corrected by a factor"),
            book.maybe(FACTOR(sensor=sensor.id, gas=gas.id)) or inlines("none needed"),
        )
        for sensor in sensors
        if sensor.sees(gas.id)
    ]
    blind = [sensor.id for sensor in sensors if gas.id in {given.value for given in sensor.blind_to}]
    set_with = [sensor.id for sensor in sensors if sensor.calibrated_with.value == gas.id]
    return (
        head("Sensors"),
        table(
            ("Sensor", "Display", "Multiply the reading by"), rows, numeric=(2,), empty="no sensor of this site sees it"
        ),
        facts(
            ("Adjusted with this gas", listed(book.links("sensor", set_with)) if set_with else None),
            ("Blind to this gas", listed(book.links("sensor", blind)) if blind else None),
            ("Clings to sampling tubes", inlines("yes: prove a tube with the real substance") if gas.clings else None),
        ),
        *disturbs(book, gas.id),
    )


def _met(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    rows: list[tuple[Inlines, ...]] = []
    for area in book.program.areas.values():
        hazard = area.hazard(gas.id)
        if hazard:
            why = f"{word(RISKS, hazard.risk)}: {hazard.why.value}" if hazard.risk else hazard.why.value
            rows.append(((book.link("area", area.id),), inlines(why)))
    held = [
        ((book.link("cylinder", cylinder.id),), book.fig(CYLINDER_GAS(cylinder=cylinder.id, gas=gas.id)))
        for cylinder in book.program.cylinders.values()
        if cylinder.component(gas.id)
    ]
    return (
        head("Where it is a hazard"),
        table(("Area", "Why"), rows, empty="in no area of this site"),
        head("Cylinders that hold it"),
        table(("Cylinder", "Certified"), held, numeric=(1,), empty="none"),
    )
