"""What is known of each gas: mass, density, explosive limits, ionisation energy, exposure limits."""

from collections.abc import Sequence

from builder.base.quantity import quantity
from builder.figures.figure import Figure, Input
from builder.figures.formulas import gas as formulas
from builder.figures.formulas import origin
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import as_written, chart, limit_down
from builder.figures.terms import constant, from_table, given, written
from builder.program.gases import Gas, Override
from builder.program.keys import families as keyed
from builder.reference.library import LEL_BASES
from builder.reference.published import Published


def compute(recorder: FigureRecorder) -> None:
    """Enter ``gas.<gas>.*`` for every gas of the site."""
    for gas in recorder.program.gases.values():
        with recorder.at(gas.where):
            _identity(recorder, gas)
            for prop, name in (("lel", "Lower explosive limit"), ("uel", "Upper explosive limit")):
                _explosive(recorder, gas, prop, name)
            _ionisation(recorder, gas)
            for listed in recorder.program.limit_lists:
                _limits(recorder, gas, listed)


def _weighed(recorder: FigureRecorder, gas: Gas) -> Figure:
    """Molar mass from the formula; of a gas of the site's own as the site states it."""
    key, label = keyed.GAS_MOLAR_MASS(gas=gas.id), f"Molar mass of {gas.name}"
    if gas.own is not None:
        return recorder.stated(
            key, label, gas.own.molar_mass, "g/mol", f"{gas.own.reason.value}; {gas.own.source.value}"
        )
    formula = constant("molecular formula", gas.entry.formula, source=f"reference library, CAS {gas.entry.cas}")
    return recorder.derived(key, label, "g/mol", chart(4), origin.molar_mass_of, formula)


def _identity(recorder: FigureRecorder, gas: Gas) -> None:
    weighed = _weighed(recorder, gas)
    label = f"Density of {gas.name} relative to air"
    note = "pure gas; a mixture moves with the air it is in"
    recorder.derived(keyed.GAS_DENSITY(gas=gas.id), label, "", chart(3), formulas.density_to_air, weighed, note=note)
    reference = [recorder.ledger[keyed.REFERENCE_TEMPERATURE()], recorder.ledger[keyed.REFERENCE_PRESSURE()]]
    recorder.derived(
        keyed.GAS_MASS_PER_PPM(gas=gas.id),
        f"1 ppm of {gas.name} in mass",
        "mg/m3",
        chart(3),
        formulas.ppm_to_mgm3,
        constant("one part per million", quantity(1, "ppm"), "1\u00a0ppm", source="what is asked for"),
        weighed,
        *reference,
    )


def _explosive(recorder: FigureRecorder, gas: Gas, prop: str, name: str) -> None:
    published = {basis: recorder.program.library.published(gas.entry.id, prop, (basis,)) for basis in LEL_BASES}
    for basis, value in published.items():
        if value is not None:
            recorder.published(
                keyed.GAS_BOUND_IN_TABLE(gas=gas.id, bound=prop, basis=basis), f"{name} of {gas.name} in {basis}", value
            )
    chosen = _chosen(recorder, gas, prop, name, published[recorder.program.site.basis.lel.value])
    if chosen is None:
        return
    label = f"{name} of {gas.name}"
    rounding = limit_down() if prop == "lel" else chart()
    recorder.derived(keyed.GAS_BOUND_PPM(gas=gas.id, bound=prop), label, "ppm", rounding, formulas.vol_to_ppm, chosen)
    mass = recorder.ledger[keyed.GAS_MOLAR_MASS(gas=gas.id)]
    here = [recorder.ledger[keyed.SITE_TEMPERATURE()], recorder.ledger[keyed.SITE_PRESSURE()]]
    key = keyed.GAS_BOUND_MASS(gas=gas.id, bound=prop)
    recorder.derived(key, f"{label} at site conditions", "g/m3", rounding, formulas.vol_to_gm3, chosen, mass, *here)


def _chosen(recorder: FigureRecorder, gas: Gas, prop: str, name: str, value: Published | None) -> Figure | None:
    key, label = (keyed.GAS_LEL if prop == "lel" else keyed.GAS_UEL)(gas=gas.id), f"{name} of {gas.name}"
    override = gas.overrides.get(prop)
    if override is not None:
        replaced = [] if value is None else [from_table("replaces", value, decides=False)]
        return _overridden(recorder, key, label, "%vol", override, replaced)
    if value is None:
        return None
    basis = recorder.program.site.basis.lel
    same = recorder.ledger[keyed.GAS_BOUND_IN_TABLE(gas=gas.id, bound=prop, basis=basis.value)]
    note = "on the site's LEL basis; the same gas reads otherwise on another basis"
    return recorder.derived(
        key,
        label,
        "%vol",
        same.rounding,
        origin.published,
        same,
        beside=[given("the site's LEL basis", basis)],
        note=note,
        source=same.source,
    )


def _overridden(
    recorder: FigureRecorder, key: str, label: str, unit: str, override: Override, replaced: Sequence[Input] = ()
) -> Figure:
    """What the site says of a gas in place of the library."""
    rounding, term = as_written(override.value.text), written("site override", override.value)
    beside, source = [given("reason", override.reason), *replaced], override.source.value
    return recorder.derived(key, label, unit, rounding, origin.overridden, term, beside=beside, source=source)


def _ionisation(recorder: FigureRecorder, gas: Gas) -> None:
    key, label = keyed.GAS_IONISATION_ENERGY(gas=gas.id), f"Ionisation energy of {gas.name}"
    override = gas.overrides.get("ionisation-energy")
    value = recorder.program.library.ionisation_energy(gas.entry.id)
    if override is not None:
        _overridden(recorder, key, label, "eV", override)
    elif value is not None:
        recorder.published(key, label, value, note=_remarks(value))


def _limits(recorder: FigureRecorder, gas: Gas, listed: str) -> None:
    library = recorder.program.library
    masses = library.limit_masses(gas.entry.id, listed, recorder.as_of)
    for kind, value in library.limits(gas.entry.id, listed, recorder.as_of).items():
        key = keyed.EXPOSURE_LIMIT(gas=gas.id, list=listed, kind=kind)
        label = f"{library.limit_list(listed).called(kind)} of {gas.name}{', superseded' if value.superseded else ''}"
        limit = recorder.published(key, label, value, note=_remarks(value))
        if kind in masses:
            by_mass, own = keyed.EXPOSURE_LIMIT_MASS(gas=gas.id, list=listed, kind=kind), masses[kind]
            note = "; ".join(
                part for part in ("as the list prints it beside ppm, rounded there", _remarks(own)) if part
            )
            recorder.published(by_mass, f"{label} in mass", own, note=note)
            continue
        mass = recorder.ledger[keyed.GAS_MOLAR_MASS(gas=gas.id)]
        reference = [recorder.ledger[keyed.REFERENCE_TEMPERATURE()], recorder.ledger[keyed.REFERENCE_PRESSURE()]]
        key, label = keyed.EXPOSURE_LIMIT_MASS(gas=gas.id, list=listed, kind=kind), f"{label} in mass"
        note = "converted, approximate: no mg/m³ of the list itself was read"
        recorder.derived(key, label, "mg/m3", limit_down(), formulas.ppm_to_mgm3, limit, mass, *reference, note=note)


def _remarks(value: Published) -> str:
    """The conditions of a limit, and what a reader has to know of its reading."""
    once = "read in one copy only" if value.read_once else ""
    old = f"superseded and the basis of no pass: {value.superseded}" if value.superseded else ""
    return "; ".join(part for part in (value.note, once, old) if part)
