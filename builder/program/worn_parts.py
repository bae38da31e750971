"""Parts of instruments that wear: what a model says of them becomes an interval of the check that looks after them."""

from collections.abc import Mapping
from dataclasses import replace

from builder.base.where import Given
from builder.program.checks import AskedInterval, Check
from builder.program.models import Model


def with_parts(checks: Mapping[str, Check], models: Mapping[str, Model]) -> dict[str, Check]:
    """The checks, each that is about a part with the intervals that models state for it.

    The manufacturer asks for those, of that model alone; the strictest of them and the check's own holds.
    """
    return {
        name: replace(check, intervals=(*check.intervals, *_stated(check, models))) for name, check in checks.items()
    }


def _stated(check: Check, models: Mapping[str, Model]) -> tuple[AskedInterval, ...]:
    part = check.part.value if check.part else ""
    return tuple(
        AskedInterval(
            interval=model.parts[part],
            by=Given("manufacturer", model.parts[part].where, ""),
            areas=(),
            models=(model.id,),
            reason=Given(f"how long it lasts in {model.name}", model.parts[part].where, ""),
            source=model.manual,
        )
        for model in models.values()
        if part in model.parts
    )
