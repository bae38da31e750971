"""The check plan: kinds of check, how often, and what passes."""

from collections.abc import Mapping
from fractions import Fraction
from functools import partial
from typing import Any

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.clean_air import CleanAir, read_clean_air
from builder.program.declared import after, asked, here, identity, made, record, under
from builder.program.interval import Interval, interval_of
from builder.program.inventory import Unit
from builder.program.localized import LocalizedText, localized_text, localized_texts
from builder.program.reading import Fields
from builder.program.sensors import channel_units
from builder.program.tolerance import Tolerance, read_tolerance

KINDS = ("bump-test", "calibration-check", "calibration", "inspection", "replacement", "zero", "flow-block")
OF_PARTS = ("inspection", "replacement")
"""Kinds that may be about one part of the instrument; a replacement always is."""
WITH_GAS = ("bump-test", "calibration-check", "calibration")
GAS_AT = ("inlet", "hose")
GUARDS = ("none", "cylinder-uncertainty")
ASKERS = ("law", "manufacturer", "guidance", "site", "area")
"""Who can ask for an interval."""
METHODS = ("staircase", "control-chart")
"""Ways to find an interval from as-found readings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedInterval:
    """How often one party asks for a check."""

    by: Given[str] = asked(Fields.choice, ASKERS)
    """law, manufacturer, guidance, site or area."""
    areas: tuple[Given[str], ...] = asked(Fields.references, "area")
    """Areas it is asked in; empty for everywhere."""
    interval: Given[Interval] = under("every", Fields.interval, use_days=True)
    models: tuple[str, ...] = ()
    """Models it is asked of, where their own description asks for it; empty for all."""
    reason: Given[str] = asked(Fields.text)
    source: Given[str] = asked(Fields.text)

    def holds_in(self, area: str) -> bool:
        """Whether it is asked in an area; one of areas is asked in no pool, whose name is no area id."""
        return not self.areas or any(given.value == area for given in self.areas)

    def holds_of(self, model: str) -> bool:
        """Whether it is asked of a model."""
        return not self.models or model in self.models


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjust:
    """How a recommended interval is found from history, and between which bounds."""

    method: Given[str] = asked(Fields.choice, METHODS)
    least: Given[Interval] = asked(Fields.interval)
    most: Given[Interval] = asked(Fields.interval)
    where: Where = here()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratio:
    """How strong bump gas may be, as a multiple of the highest alarm."""

    least: Given[Fraction] = under("from", Fields.number)
    most: Given[Fraction] = under("to", Fields.number)
    where: Where = here()


def _through_hose(fields: Fields) -> Given[str] | None:
    given = fields.choice("gas-at", GAS_AT, GAS_AT[0])
    return given if given.value == "hose" else None


def _part(fields: Fields, known: Mapping[str, Any]) -> Given[str] | None:
    """The part a check is about; some model says that it has it."""
    part, kind = fields.maybe_reference("part", "part"), known["given_kind"]
    if kind.text != kind.value:
        return part
    if part is None and kind.value == "replacement":
        fields.faults.lacks(fields.where, "a replacement without part", "part: what is replaced, as a model names it")
    if part is not None and kind.value not in OF_PARTS:
        found = f"part on a check of kind {kind.value!r}"
        fields.faults.add(part.where, found, "a check of kind " + " or ".join(OF_PARTS))
    return part


def _intervals(fields: Fields) -> tuple[AskedInterval, ...]:
    """The list of what each party asks, or the one interval, reason and source of a check asked for by the site."""
    if "intervals" not in fields:
        by = Given("site", fields.where, "")
        interval = fields.interval("interval", use_days=True)
        reason, source = fields.text("reason"), fields.text("source")
        return (AskedInterval(interval=interval, by=by, areas=(), reason=reason, source=source),)
    for key in ("interval", "reason", "source"):
        if fields.take(key) is not None:
            fields.faults.add(fields.where_of(key), f"{key} beside intervals", f"{key} in each entry of intervals")
    made = fields.parts("intervals", "interval", _asked)
    if made:
        return made
    if fields.usable:
        fields.faults.lacks(fields.where_of("intervals"), "no intervals", "at least one")
    stand_in = Given("", fields.where, "")
    every = interval_of(stand_in, fields.faults)
    return (AskedInterval(interval=every, by=stand_in, areas=(), reason=stand_in, source=stand_in),)


def _asked(part: Fields) -> AskedInterval:
    made = record(AskedInterval)(part)
    if made.by.value == made.by.text == "area" and not made.areas:
        part.faults.lacks(made.by.where, "an interval by area that names none", "areas: [id]")
    return made


def _adjust(part: Fields, kind: Given[str]) -> Adjust:
    before = len(part.faults.problems)
    adjust = record(Adjust)(part)
    if len(part.faults.problems) > before:
        return adjust
    if adjust.least.value.nominal_days > adjust.most.value.nominal_days:
        found = f"least {adjust.least.text!r} above most {adjust.most.text!r}"
        part.faults.add(adjust.least.where, found, "bounds that rise")
    if kind.value == kind.text and kind.value not in WITH_GAS:
        found = f"adjust on a check of kind {kind.value!r}"
        part.faults.add(part.where, found, "checks that take as-found readings: " + ", ".join(WITH_GAS))
    return adjust


def _ratio(part: Fields, kind: Given[str]) -> Ratio:
    before = len(part.faults.problems)
    ratio = record(Ratio)(part)
    if len(part.faults.problems) == before and ratio.least.value > ratio.most.value:
        part.faults.add(ratio.least.where, f"from {ratio.least.text} above to {ratio.most.text}", "bounds that rise")
    if kind.value == kind.text and kind.value not in WITH_GAS:
        part.faults.add(part.where, f"ratio on a check of kind {kind.value!r}", "a check with gas")
    return ratio


def _window(fields: Fields) -> dict[str, Tolerance]:
    made: dict[str, Tolerance] = {}
    for key, node in fields.by_reference("window", "channel"):
        read = partial(read_tolerance, units=channel_units(key.text, fields.faults))
        made[key.text] = Fields(node, fields.faults, f"tolerance of {key.text}").wholly(read)
    return made


def what_of(kind: str, part: str) -> str:
    """What a check or a record is of: its kind, and the part it is about."""
    return f"{kind} of {part}" if part else kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One kind of check in the plan."""

    id: str = identity("check")
    given_kind: Given[str] = under("kind", Fields.choice, KINDS)
    kind: str = after(lambda _, known: known["given_kind"].value)
    names: LocalizedText = under("name", localized_text)
    """The name in every language it has."""
    name: str = after(lambda _, known: known["names"].value)
    due_soon: Given[Interval] | None = asked(Fields.maybe_interval)
    intervals: tuple[AskedInterval, ...] = made(_intervals)
    """Everything that is asked, in the author's order; never empty."""
    gas_time: Given[Quantity] | None = asked(Fields.maybe_quantity, "s", above=True)
    alarms_within: Given[Quantity] | None = asked(Fields.maybe_quantity, "s", above=True)
    window: Mapping[str, Tolerance] = made(_window)
    """By channel."""
    guard: str = made(lambda part: part.choice("guard-band", GUARDS, "none").value)
    where: Where = here("id")
    adjust: Adjust | None = after(
        lambda part, known: part.maybe_part("adjust", partial(_adjust, kind=known["given_kind"]))
    )
    ratio: Ratio | None = after(lambda part, known: part.maybe_part("ratio", partial(_ratio, kind=known["given_kind"])))
    """Judged on bump tests; ``None`` for the published values."""
    part: Given[str] | None = after(_part)
    """The part that is inspected or replaced; ``None`` for the whole instrument."""
    through_hose: Given[str] | None = made(_through_hose)
    """Said where gas is given at the end of the hose; else it is given at the inlet."""
    clean_air: Mapping[str, CleanAir] = after(lambda part, known: read_clean_air(part, known["given_kind"].value))
    """By channel; of a zero."""
    look_at: tuple[LocalizedText, ...] = made(
        lambda part: localized_texts(part, "look-at") if "look-at" in part else ()
    )
    """What an inspection looks at, one thing after the other: a box to tick each on its log sheet."""

    @property
    def what(self) -> str:
        """Kind and part, as records name them: two checks with the same cannot be told apart in records."""
        return what_of(self.kind, self.part.value if self.part else "")

    def asked_in(self, area: str, model: str = "") -> tuple[AskedInterval, ...]:
        """What is asked in an area (or, with the name of a pool, everywhere) of a model, or else of every model."""
        return tuple(asked for asked in self.intervals if asked.holds_in(area) and asked.holds_of(model))

    def asked_of(self, unit: Unit) -> tuple[AskedInterval, ...]:
        """What is asked of a unit in any place to which it goes, in the author's order."""
        held = (asked for asked in self.intervals if asked.holds_of(unit.model.value))
        return tuple(asked for asked in held if any(asked.holds_in(place) for place in unit.places))

    def strictest_of(self, unit: Unit) -> AskedInterval | None:
        """The strictest of it, by nominal length."""
        return min(self.asked_of(unit), key=lambda asked: asked.interval.value.nominal_days, default=None)

    def strictest_in(self, area: str, model: str = "") -> AskedInterval | None:
        """The strictest asked in an area by nominal length, the first of equal ones; ``None`` when nothing is."""
        return min(self.asked_in(area, model), key=lambda asked: asked.interval.value.nominal_days, default=None)

    @property
    def strictest(self) -> AskedInterval:
        """The strictest asked everywhere; of all, when each is asked in some areas only."""
        everywhere = tuple(asked for asked in self.intervals if not (asked.areas or asked.models))
        return min(everywhere or self.intervals, key=lambda asked: asked.interval.value.nominal_days)

    @property
    def interval(self) -> Given[Interval]:
        """How often, by the strictest."""
        return self.strictest.interval

    @property
    def reason(self) -> Given[str]:
        """Why that often."""
        return self.strictest.reason

    @property
    def source(self) -> Given[str]:
        """Who asks for it."""
        return self.strictest.source

    @property
    def uses_gas(self) -> bool:
        """Whether a cylinder is needed."""
        return self.kind in WITH_GAS


def read_check(fields: Fields) -> Check:
    """An entry of ``checks.yaml``."""
    check = record(Check)(fields)
    if check.given_kind.text != check.kind:
        return check
    if check.look_at and check.kind != "inspection":
        found = f"look-at on a check of kind {check.kind!r}"
        fields.faults.add(check.look_at[0].where, found, "a check of kind inspection")
    lacking = f"check {check.id!r} without"
    if check.uses_gas and check.gas_time is None:
        fields.faults.lacks(check.where, f"{lacking} gas-time", "gas-time for checks that use gas")
    if check.uses_gas and not check.window:
        fields.faults.lacks(check.where, f"{lacking} window", "window: a tolerance a channel")
    return check
