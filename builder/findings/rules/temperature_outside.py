"""An area whose temperature lies outside the range in which a detector allowed there works.

Source: the instrument's stated range.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import AREA_TEMPERATURE, MODEL_WORKS_FROM, MODEL_WORKS_TO, SITE_TEMPERATURE

ID = "temperature-outside"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each area and model; an area without its own temperature has the site's."""
    program, ledger = computed.program, computed.ledger
    for area in program.areas.values():
        given = area.temperature or program.site.ambient.temperature
        figure = ledger.get(AREA_TEMPERATURE(area=area.id) if area.temperature else SITE_TEMPERATURE())
        degrees = magnitude(given.value, "°C")
        for model in program.models_in(area):
            if magnitude(model.coldest.value, "°C") <= degrees <= magnitude(model.hottest.value, "°C"):
                continue
            bounds = [ledger.get(end(model=model.id)) for end in (MODEL_WORKS_FROM, MODEL_WORKS_TO)]
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{area.name}: at {given.text} {model.name} is outside its range, "
                f"{model.coldest.text} to {model.hottest.text}.",
                where=given.where,
                figures=keys(figure, *bounds),
                source=f"manual: {model.manual.value}",
                mend="allow a model that works there",
                subject=f"area:{area.id}",
            )
