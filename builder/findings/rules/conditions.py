"""Models taken where, or longer than, they can work."""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import Quantity, magnitude
from builder.base.where import Given
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.wording import keys
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.models import Model
from builder.program.program import Program
from builder.program.sensors import Sensor


@rule(Severity.WARN)
def temperature_outside(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """An area whose temperature lies outside the range in which a detector allowed there works.

    Source: the instrument's stated range.
    """
    # A warn for each area and model; an area without its own temperature has the site's
    given = area.temperature or program.site.ambient.temperature
    figure = ledger.get(keyed.AREA_TEMPERATURE(area=area.id) if area.temperature else keyed.SITE_TEMPERATURE())
    degrees = magnitude(given.value, "°C")
    for model in program.models_in(area):
        if magnitude(model.works.coldest.value, "°C") <= degrees <= magnitude(model.works.hottest.value, "°C"):
            continue
        bounds = [ledger.get(end(model=model.id)) for end in (keyed.MODEL_WORKS_FROM, keyed.MODEL_WORKS_TO)]
        yield temperature_outside.found(
            message=f"{area.name}: at {given.text} {model.name} is outside its range, "
            f"{model.works.coldest.text} to {model.works.hottest.text}.",
            where=given.where,
            figures=keys(figure, *bounds),
            source=f"manual: {model.manual.value}",
            mend="allow a model that works there",
        )


@rule(Severity.WARN, source="range stated for the sensor")
def pressure_outside(program: Program, ledger: Ledger, sensor: Sensor) -> Iterator[Finding]:
    """A sensor where the air pressure of the site lies outside what it is made for.

    Source: the sensor's own stated range.
    """
    # A warn for each kind of sensor that a model has
    fitted = {position.sensor.value for model in program.models.values() for position in model.positions}
    here = ledger.get(keyed.SITE_PRESSURE())
    if sensor.pressures is None or sensor.id not in fitted or here is None:
        return
    low, high = sensor.pressures
    if magnitude(low.value, "kPa") <= magnitude(here.amount, "kPa") <= magnitude(high.value, "kPa"):
        return
    bounds = (ledger.get(family(sensor=sensor.id)) for family in (keyed.SENSOR_PRESSURE_FROM, keyed.SENSOR_PRESSURE_TO))
    yield pressure_outside.found(
        message=f"{sensor.name} is made for air of {low.text} to {high.text}; here it has {here.printed}. What it "
        "shows there is not known.",
        where=low.where,
        figures=keys(here, *bounds),
        mend="ask its maker, or prove it with gas at this height",
    )


@rule(Severity.WARN)
def runtime_short(program: Program, ledger: Ledger, model: Model) -> Iterator[Finding]:
    """A battery that does not last the longest shift.

    Where its runtime in the cold is stated, that of the coldest place it is used in counts. Source: the
    instrument's stated runtime and the site's shift.
    """
    shift = program.site.shift
    cold = ledger.get(keyed.MODEL_RUNTIME_COLD(model=model.id))
    hours = cold.exact if cold and isinstance(cold.exact, Fraction) else magnitude(model.battery.runtime.value, "h")
    yield from _instead(program, ledger, model)
    if hours < magnitude(shift.value, "h"):
        yield runtime_short.found(
            message=f"{model.name}: its battery lasts {cold.printed if cold else model.battery.runtime.text}, "
            f"the longest shift is {shift.text}.",
            where=model.battery.runtime.where,
            figures=keys(cold, ledger.get(keyed.MODEL_RUNTIME(model=model.id)), ledger.get(keyed.SITE_SHIFT())),
            source=f"manual: {model.manual.value}",
            mend="plan a change of unit within the shift, or use a model that lasts",
        )


def _instead(program: Program, ledger: Ledger, model: Model) -> Iterator[Finding]:
    """The same for the cells that are taken instead of its own."""
    shift = program.site.shift
    for cells in model.battery.cells:
        if cells.runtime is not None and magnitude(cells.runtime.value, "h") < magnitude(shift.value, "h"):
            yield runtime_short.found(
                message=f"{model.name}: on {cells.kind.value} cells it lasts {cells.runtime.text}, "
                f"the longest shift is {shift.text}.",
                where=cells.runtime.where,
                figures=keys(ledger.get(keyed.MODEL_RUNTIME_INSTEAD(model=model.id)), ledger.get(keyed.SITE_SHIFT())),
                source=f"manual: {model.manual.value}",
                mend="change the cells within the shift where that is allowed, or keep to its own battery",
            )


@rule(Severity.WARN, source="29 CFR 1910.146 Appendix B (4)")
def depth_without_pump(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """An area that is sampled from above or through a hose, while no detector that is tested with there has a pump.

    The same of a tester's card for a model without one, which nothing with a pump is carried with. Source: common
    practice; 29 CFR 1910.146 Appendix B (4) on layered air.
    """
    given = area.depth or area.hose
    if given is None:
        return
    tested = [one for one in area.carry if any(one.serves(doing, "tester") for doing in area.doing)]
    drawing = [one for one in tested if any(program.models[model.value].pump for model in one.models)]
    reach = {model.value for one in drawing for model in one.models}
    what = f"it is sampled {given.text} down" if area.depth else f"a hose of {given.text} is used"
    faults = [] if drawing else [(given.where, "no detector that is tested with there has a pump", f"area:{area.id}")]
    faults += [
        (
            card.model.where,
            f"{card.title} is for {program.models[card.model.value].name}, without a pump",
            f"card:{card.id}",
        )
        for card in program.cards.values()
        if card.audience == "tester" and card.area and card.area.value == area.id and card.model
        if drawing and card.model.value not in reach
    ]
    for where, fault, subject in faults:
        yield depth_without_pump.found(
            message=f"{area.name}: {what}, but {fault}.",
            where=where,
            figures=keys(ledger.get(keyed.AREA_DEPTH(area=area.id)), ledger.get(keyed.AREA_HOSE(area=area.id))),
            mend="allow a detector with a pump, and test with it",
            subject=subject,
        )


@rule(Severity.WARN, source="29 CFR 1910.146 Appendix B (4)")
def depth_not_stated(ledger: Ledger, area: Area) -> Iterator[Finding]:
    """A confined space of which no depth is stated: down to where it is tested before anybody goes in is not known.

    Source: 29 CFR 1910.146 (c)(5)(ii)(C) and Appendix B (4): the air is tested before entry, over the whole depth.
    """
    if area.entered and area.depth is None:
        hose = f" Whether the hose of {area.hose.text} reaches its bottom is not known." if area.hose else ""
        yield depth_not_stated.found(
            message=f"{area.name} is tested from outside before anybody goes in, but no depth is stated: levels to "
            f"test and the time for them are not known.{hose}",
            where=area.where,
            figures=keys(ledger.get(keyed.AREA_HOSE(area=area.id))),
            mend="measure how far in its farthest point lies, and enter depth and hose",
        )


@rule(Severity.WARN, source="29 CFR 1910.146 (b) and Appendix B (4)")
def depth_without_entry(ledger: Ledger, area: Area) -> Iterator[Finding]:
    """An area that is tested from above, level by level, though entry is none of its activities.

    Then no rule of confined spaces is held against it, and no card of its entrants and attendant is asked for. Source:
    29 CFR 1910.146 (b) and Appendix B (4): what is tested so before work is a space that people go into.
    """
    if area.depth is not None and not area.entered:
        yield depth_without_entry.found(
            message=f"{area.name} is tested {area.depth.text} down from above, but its activities name no entry: "
            "nothing that holds for confined spaces is judged there.",
            where=area.depth.where,
            figures=keys(ledger.get(keyed.AREA_DEPTH(area=area.id))),
            mend="add confined-space-entry to its activities, or take depth out where nobody ever goes in",
        )


@rule(Severity.STOP)
def hose_too_long(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A sampling hose longer than the pump can draw through.

    Source: the instrument's stated longest hose.
    """
    # A stop for a hose of a model or of an area
    hoses: list[tuple[Model, Given[Quantity], Area | None]]
    hoses = [(model, model.hose.length, None) for model in program.models.values() if model.hose]
    for place in program.areas.values():
        hoses += [(model, place.hose, place) for model in program.models_in(place) if place.hose]
    for model, hose, area in hoses:
        if model.pump and magnitude(hose.value, "m") > magnitude(model.pump.longest_hose.value, "m"):
            used = ledger.get(keyed.AREA_HOSE(area=area.id) if area else keyed.MODEL_HOSE(model=model.id))
            yield hose_too_long.found(
                message=f"{area.name if area else model.name}: the hose of {hose.text} is longer than the "
                f"{model.pump.longest_hose.text} through which {model.name} can draw.",
                where=hose.where,
                figures=keys(used, ledger.get(keyed.MODEL_LONGEST_HOSE(model=model.id))),
                source=f"manual: {model.manual.value}",
                mend="use a shorter hose or a stronger pump",
                subject=f"area:{area.id}" if area else f"model:{model.id}",
            )


@rule(Severity.STOP, source="29 CFR 1910.146 Appendix B (4)")
def hose_too_short(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """A hose that does not reach the bottom of the space that is sampled through it.

    What lies at the bottom is heavier than air and is what kills. Source: 29 CFR 1910.146 Appendix B (4): the air
    is tested over the whole depth, in the direction of travel and to each side.
    """
    # A stop for each model with a pump whose hose is shorter than the space is deep
    for model in program.models_in(area):
        hose = area.hose or (model.hose.length if model.hose else None)
        reach = magnitude(hose.value, "m") if hose else 0
        if model.pump and area.depth and reach < magnitude(area.depth.value, "m"):
            told = f"the hose of {hose.text}" if hose else f"{model.name} has a pump but no hose is named, so it"
            used = keyed.AREA_HOSE(area=area.id) if area.hose else keyed.MODEL_HOSE(model=model.id)
            yield hose_too_short.found(
                message=f"{area.name}: {told} does not reach the bottom of the space, {area.depth.text} down.",
                where=(area.hose or area.depth).where,
                figures=keys(ledger.get(keyed.AREA_DEPTH(area=area.id)), ledger.get(used)),
                mend="use a hose at least as long as the space is deep, and one through which the pump can draw",
            )
