"""How blank log sheets are made and cards are set out on sheets, where a site does not leave that to the builder."""

from collections.abc import Mapping
from dataclasses import field, replace

from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, made, record, usual
from builder.program.reading import Fields

USUAL_DAYS, MOST_DAYS = 5, 31
"""Lines a unit for checks before each day's use: a working week, and a month."""
TURNS = ("long-edge", "short-edge")
MOST_COPIES = 100


def _languages(fields: Fields, key: str, *, required: bool = False) -> tuple[Given[str], ...]:
    return fields.choices(key, fields.faults.languages, required=required)


def _length(fields: Fields, name: str, least: int, most: int) -> Given[Quantity] | None:
    """An optional length, from the least to the most in mm."""
    given = fields.maybe_quantity(name, "mm")
    if given is not None and not least <= magnitude(given.value, "mm") <= most:
        fields.faults.range(given.where, f"{given.text!r} for {name!r}", f"{least} to {most} mm")
    return given


def _whole(fields: Fields, key: str, unsaid: int, most: int, more: str = "") -> int:
    """A whole number up to the most; the usual one where it is not said."""
    given = fields.maybe_whole(key, least=1)
    if given is not None and given.value > most:
        fields.faults.range(given.where, f"{given.text} {key}", f"1 to {most}{more}")
    return given.value if given else unsaid


@dataclass(frozen=True, slots=True, kw_only=True)
class FormSetting:
    """What ``forms.yaml`` says; empty where it says nothing."""

    separate: tuple[Given[str], ...] = usual((), asked(Fields.references, "check"))
    """Checks that keep a sheet of their own, though they are made with others before each day's use."""
    languages: tuple[Given[str], ...] = usual((), asked(_languages))
    """One sheet each; empty for the site's first language."""
    days: int = usual(USUAL_DAYS, asked(_whole, USUAL_DAYS, MOST_DAYS))
    keep: Given[str] | None = usual(None, asked(Fields.maybe_reference, "retention"))
    """Entry of ``retention.yaml`` that says how long filled sheets are kept."""
    areas: Mapping[str, tuple[Given[str], ...]] = field(default_factory=dict)
    """Area id to the languages of its sheets, where it has others."""

    def spoken_in(self, area: str, first: Given[str]) -> tuple[Given[str], ...]:
        """The languages of an area's sheets, or of those of pools where ``area`` is empty."""
        return self.areas.get(area) or self.languages or (first,)


def read_forms(fields: Fields) -> FormSetting:
    """``forms.yaml``."""
    return replace(record(FormSetting)(fields), areas=_areas(fields))


def _areas(fields: Fields) -> dict[str, tuple[Given[str], ...]]:
    made = fields.parts("areas", "area of log sheets", _area, required=False)
    first: dict[str, Where] = {}
    for area, _ in made:
        if area.value in first:
            fields.faults.twice(area.where, f"area {area.value!r} twice", f"once; it stands at {first[area.value]}")
        first.setdefault(area.value, area.where)
    return {area.value: languages for area, languages in made}


def _area(fields: Fields) -> tuple[Given[str], tuple[Given[str], ...]]:
    return fields.reference("area", "area"), _languages(fields, "languages", required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSetting:
    """What ``sheets.yaml`` says; ``None`` where it says nothing."""

    bleed: Given[Quantity] | None = usual(None, asked(_length, 0, 3))
    gutter: Given[Quantity] | None = usual(None, asked(_length, 0, 40))
    lamination: Given[Quantity] | None = usual(None, asked(_length, 3, 5))
    turn: str = usual(TURNS[0], made(lambda part: part.choice("turn", TURNS, TURNS[0]).value))
    copies: int = usual(1, asked(_whole, 1, MOST_COPIES, "; the printer makes more"))
