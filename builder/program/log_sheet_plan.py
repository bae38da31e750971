"""How blank log sheets are made, where a site does not leave that to the builder."""

from collections.abc import Mapping
from dataclasses import field

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.reading import Fields

USUAL_DAYS, MOST_DAYS = 5, 31
"""Lines a unit for checks before each day's use: a working week, and a month."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormSetting:
    """What ``forms.yaml`` says; empty where it says nothing."""

    separate: tuple[Given[str], ...] = ()
    """Checks that keep a sheet of their own, though they are made with others before each day's use."""
    languages: tuple[Given[str], ...] = ()
    """One sheet each; empty for the site's first language."""
    days: int = USUAL_DAYS
    keep: Given[str] | None = None
    """Entry of ``retention.yaml`` that says how long filled sheets are kept."""
    areas: Mapping[str, tuple[Given[str], ...]] = field(default_factory=dict)
    """Area id to the languages of its sheets, where it has others."""

    def spoken_in(self, area: str, first: Given[str]) -> tuple[Given[str], ...]:
        """The languages of an area's sheets, or of those of pools where ``area`` is empty."""
        return self.areas.get(area) or self.languages or (first,)


def read_forms(node: Node | None, faults: Faults) -> FormSetting:
    """The file, or what holds without it."""
    if node is None:
        return FormSetting()
    fields = Fields(node, faults, "forms.yaml")
    made = FormSetting(
        separate=fields.references("separate", "check"),
        languages=fields.choices("languages", faults.languages),
        days=_days(fields),
        keep=fields.maybe_reference("keep", "retention"),
        areas=_areas(fields),
    )
    fields.close()
    return made


def _days(fields: Fields) -> int:
    if "days" not in fields:
        fields.take("days")
        return USUAL_DAYS
    given = fields.whole("days", least=1)
    if given.value > MOST_DAYS:
        fields.faults.range(given.where, f"{given.text} days", f"1 to {MOST_DAYS}")
    return given.value


def _areas(fields: Fields) -> dict[str, tuple[Given[str], ...]]:
    made = fields.parts("areas", "area of log sheets", _area, required=False)
    first: dict[str, Where] = {}
    for area, _ in made:
        if first.setdefault(area.value, area.where) is not area.where:
            fields.faults.twice(area.where, f"area {area.value!r} twice", f"once; it stands at {first[area.value]}")
    return {area.value: languages for area, languages in made}


def _area(fields: Fields) -> tuple[Given[str], tuple[Given[str], ...]]:
    return fields.reference("area", "area"), fields.choices("languages", fields.faults.languages, required=True)
