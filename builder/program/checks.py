"""The check plan: kinds of check, how often, and what passes."""

from collections.abc import Mapping
from dataclasses import field
from fractions import Fraction
from functools import partial

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.clean_air import CleanAir, read_clean_air
from builder.program.interval import Interval, interval_of
from builder.program.inventory import Unit
from builder.program.localized import LocalizedText, localized_text, localized_texts
from builder.program.reading import Fields
from builder.program.sensors import channel_units
from builder.program.tolerance import Tolerance, read_tolerance
from builder.program.values import given_of

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

    interval: Given[Interval]
    by: Given[str]
    """law, manufacturer, guidance, site or area."""
    areas: tuple[Given[str], ...]
    """Areas it is asked in; empty for everywhere."""
    models: tuple[str, ...] = ()
    """Models it is asked of, where their own description asks for it; empty for all."""
    reason: Given[str]
    source: Given[str]

    def holds_in(self, area: str) -> bool:
        """Whether it is asked in an area; one of areas is asked in no pool, whose name is no area id."""
        return not self.areas or any(given.value == area for given in self.areas)

    def holds_of(self, model: str) -> bool:
        """Whether it is asked of a model."""
        return not self.models or model in self.models


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjust:
    """How a recommended interval is found from history, and between which bounds."""

    method: Given[str]
    least: Given[Interval]
    most: Given[Interval]
    where: Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratio:
    """How strong bump gas may be, as a multiple of the highest alarm."""

    least: Given[Fraction]
    most: Given[Fraction]
    where: Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One kind of check in the plan."""

    id: str
    name: str
    kind: str
    intervals: tuple[AskedInterval, ...]
    """Everything that is asked, in the author's order; never empty."""
    due_soon: Given[Interval] | None
    gas_time: Given[Quantity] | None
    alarms_within: Given[Quantity] | None
    window: Mapping[str, Tolerance]
    """By channel."""
    guard: str
    where: Where
    adjust: Adjust | None = None
    ratio: Ratio | None = None
    """Judged on bump tests; ``None`` for the published values."""
    names: LocalizedText | None = None
    """The name in every language it has."""
    clean_air: Mapping[str, CleanAir] = field(default_factory=dict)
    """By channel; of a zero."""
    through_hose: Given[str] | None = None
    """Said where gas is given at the end of the hose; else it is given at the inlet."""

    look_at: tuple[LocalizedText, ...] = ()
    """What an inspection looks at, one thing after the other: a box to tick each on its log sheet."""
    part: Given[str] | None = None
    """The part that is inspected or replaced; ``None`` for the whole instrument."""

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


def what_of(kind: str, part: str) -> str:
    """What a check or a record is of: its kind, and the part it is about."""
    return f"{kind} of {part}" if part else kind


def read_check(fields: Fields) -> Check:
    """An entry of ``checks.yaml``."""
    identity = fields.identity("check")
    kind = fields.choice("kind", KINDS)
    names = localized_text(fields, "name")
    check = Check(
        due_soon=fields.maybe_interval("due-soon"),
        id=identity.value,
        name=names.value,
        names=names,
        kind=kind.value,
        intervals=_intervals(fields),
        gas_time=fields.maybe_quantity("gas-time", "s", above=True),
        alarms_within=fields.maybe_quantity("alarms-within", "s", above=True),
        window=_window(fields),
        guard=fields.choice("guard-band", GUARDS, "none").value,
        where=identity.where,
        adjust=fields.maybe_part("adjust", lambda part: _adjust(part, kind)),
        ratio=fields.maybe_part("ratio", lambda part: _ratio(part, kind)),
        part=_part(fields, kind),
        through_hose=_through_hose(fields),
        clean_air=read_clean_air(fields, kind.value),
        look_at=localized_texts(fields, "look-at") if "look-at" in fields else (),
    )
    if kind.text != kind.value:
        return check
    if check.look_at and check.kind != "inspection":
        found = f"look-at on a check of kind {kind.value!r}"
        fields.faults.add(check.look_at[0].where, found, "a check of kind inspection")
    if check.uses_gas and check.gas_time is None:
        fields.faults.lacks(
            identity.where, f"check {identity.value!r} without gas-time", "gas-time for checks that use gas"
        )
    if check.uses_gas and not check.window:
        fields.faults.lacks(identity.where, f"check {identity.value!r} without window", "window: a tolerance a channel")
    return check


def _through_hose(fields: Fields) -> Given[str] | None:
    given = fields.choice("gas-at", GAS_AT, GAS_AT[0])
    return given if given.value == "hose" else None


def _part(fields: Fields, kind: Given[str]) -> Given[str] | None:
    """The part a check is about; some model says that it has it."""
    part = fields.maybe_reference("part", "part")
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
    by = part.choice("by", ASKERS)
    areas = part.references("areas", "area")
    if by.value == by.text == "area" and not areas:
        part.faults.lacks(by.where, "an interval by area that names none", "areas: [id]")
    return AskedInterval(
        interval=part.interval("every", use_days=True),
        by=by,
        areas=areas,
        reason=part.text("reason"),
        source=part.text("source"),
    )


def _adjust(part: Fields, kind: Given[str]) -> Adjust:
    before = len(part.faults.problems)
    adjust = Adjust(
        method=part.choice("method", METHODS),
        least=part.interval("least"),
        most=part.interval("most"),
        where=part.where,
    )
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
    ratio = Ratio(least=part.number("from"), most=part.number("to"), where=part.where)
    if len(part.faults.problems) == before and ratio.least.value > ratio.most.value:
        part.faults.add(ratio.least.where, f"from {ratio.least.text} above to {ratio.most.text}", "bounds that rise")
    if kind.value == kind.text and kind.value not in WITH_GAS:
        part.faults.add(part.where, f"ratio on a check of kind {kind.value!r}", "a check with gas")
    return ratio


def _window(fields: Fields) -> dict[str, Tolerance]:
    made: dict[str, Tolerance] = {}
    for key, node in fields.pairs("window"):
        fields.faults.refer("channel", given_of(key))
        read = partial(read_tolerance, units=channel_units(key.text, fields.faults))
        made[key.text] = Fields(node, fields.faults, f"tolerance of {key.text}").wholly(read)
    return made
