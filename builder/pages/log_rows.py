"""The tables of a log sheet: units that are alike in one group, a row for each time a unit is checked."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from builder.base.record import dataclass
from builder.figures.figure import NO_BREAK_SPACE
from builder.figures.ledger import Ledger
from builder.pages.blocks import Fig, Inline, Inlines, Strong, Text
from builder.pages.translator import Translator
from builder.program.checks import Check
from builder.program.gas_plan import own_cylinder
from builder.program.keys import families as keyed
from builder.program.models import Model
from builder.program.sensors import OXYGEN, Sensor
from builder.program.test_order import in_test_order

DATED_LINES = 2
"""Lines a unit for checks that are not made every day: the check, and its repetition after a fail."""
SPARE_LINES = 2
"""Lines without a unit at the end of each group: one that is lent, one new."""
CALIBRATION = "calibration"
NOTHING_SHOWN = ("inspection", "replacement", "flow-block")
"""Kinds of check in which no reading is written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogColumn:
    """A column to write in."""

    kind: str
    """``reading``, ``lot``, ``last``, ``set``, ``blocked``, ``alarms``, ``tick``, ``found``, ``verdict`` or ``by``: it
    decides the width, and what stands in its cells already."""
    name: str
    says: Inlines = ()
    """What holds for it, below its name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogChannel:
    """What one sensor must show, and the columns to write what it showed."""

    name: str
    unit: str
    """Unit spelling of its display, or empty."""
    says: tuple[Inlines, ...]
    """The window that passes and the alarms that must sound, where there are any."""
    write: tuple[LogColumn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLine:
    """One line to fill in; without a unit the reader writes which it is."""

    unit: str = ""
    serial: str = ""
    about: str = ""
    """Which of a unit's lines it is: as found, or as left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogGroup:
    """Units of one model that are checked with one cylinder."""

    title: str
    head: str = ""
    """What stands over the first column, where that is no unit."""
    notes: tuple[Inlines, ...]
    """What is so for these units alone: the last day of their cylinder, waits."""
    channels: tuple[LogChannel, ...]
    write: tuple[LogColumn, ...]
    """Further columns to write in."""
    lines: tuple[LogLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogRows:
    """Makes the tables of one sheet."""

    translator: Translator
    ledger: Ledger
    checks: tuple[Check, ...]
    area: str
    daily: bool

    @property
    def shared(self) -> bool:
        """Whether several checks are written in one row."""
        return len(self.checks) > 1

    @property
    def gas_check(self) -> Check | None:
        """The check that uses gas, of which a sheet has at most one."""
        return next((check for check in self.checks if check.uses_gas), None)

    @property
    def zero_checks(self) -> tuple[Check, ...]:
        """The site's checks of zero, whose tolerance holds in a calibration too."""
        return tuple(check for check in self.translator.program.checks.values() if check.kind == "zero")

    def says(self) -> tuple[Inlines, ...]:
        """What holds for all units on the sheet."""
        made = [line for check in self.checks for line in self._of_check(check)]
        if any(check.kind not in NOTHING_SHOWN for check in self.checks):
            made.append(self.translator.words("Write what the display showed before anything was adjusted."))
        return (*made, self.translator.words("A unit that fails is taken out of use and written down."))

    def _of_check(self, check: Check) -> tuple[Inlines, ...]:
        """Its times, under its name where the sheet has others."""
        lines = tuple(self._times(check))
        if not (self.shared and lines):
            return lines
        name = Strong((Text(f"{self.translator.named(check)}:"),))
        return ((name, Text(" "), *lines[0]), *lines[1:])

    def _times(self, check: Check) -> Iterator[Inlines]:
        if self.ledger.get(keyed.CHECK_GAS_TIME(check=check.id)):
            text = "Let gas flow {time}." if check.uses_gas else "Wait {time}."
            yield self.translator.sentence(text, time=(Fig(keyed.CHECK_GAS_TIME(check=check.id)),))
        if self.ledger.get(keyed.CHECK_ALARMS_WITHIN(check=check.id)):
            yield self.translator.sentence(
                "Every alarm must sound within {time}.", time=(Fig(keyed.CHECK_ALARMS_WITHIN(check=check.id)),)
            )

    # ---- groups ------------------------------------------------------------

    def groups(self, asked: Mapping[str, tuple[str, ...]]) -> tuple[LogGroup, ...]:
        """Units by model, cylinder and the checks asked of them.

        :param asked: unit id to ids of checks.
        """
        alike: dict[tuple[str, tuple[str, ...], tuple[str, ...]], list[str]] = {}
        for unit_id, checks in asked.items():
            unit = self.translator.program.units[unit_id]
            gas = self.gas_check is not None and self.gas_check.id in checks
            cylinders = tuple(given.value for given in unit.cylinders) if gas else ()
            alike.setdefault((unit.model.value, cylinders, checks), []).append(unit_id)
        return tuple(
            self._group(self.translator.program.models[model], cylinders, checks, units)
            for (model, cylinders, checks), units in alike.items()
        )

    def _group(self, model: Model, cylinders: tuple[str, ...], checks: tuple[str, ...], units: list[str]) -> LogGroup:
        kinds = {check.kind for check in self.checks if check.id in checks}
        title = self.translator.named(model)
        if cylinders:
            named = self.translator.wording.comma.join(cylinders)
            title = self.translator.text("{model}, with cylinder {cylinder}", model=title, cylinder=named)
        return LogGroup(
            title=title,
            notes=tuple(self._notes(model, cylinders, kinds)),
            channels=tuple(self._channels(model, cylinders, kinds)),
            write=tuple(self._write(kinds)),
            lines=tuple(self._lines(units, kinds)),
        )

    def _notes(self, model: Model, cylinders: tuple[str, ...], kinds: set[str]) -> Iterator[Inlines]:
        say, closed = self.translator.sentence, keyed.MODEL_FLOW_BLOCK(model=model.id)
        wait = keyed.HOSE_WAIT(area=self.area, model=model.id)
        if cylinders:
            yield self.translator.words("Another gas? Other windows: do not use this sheet.")
        if "flow-block" in kinds and self.ledger.get(closed):
            yield say("Inlet closed, it must alarm within {time}.", time=(Fig(closed),))
        if self.gas_check and self.gas_check.kind != "calibration" and self.ledger.get(wait):
            yield say("Through the hose of this area wait {time}.", time=(Fig(wait),))

    def _lines(self, units: list[str], kinds: set[str]) -> Iterator[LogLine]:
        program = self.translator.program
        told = tuple(map(self.translator.text, ("as found", "as left"))) if CALIBRATION in kinds else ()
        for unit in units:
            line = LogLine(unit=unit, serial=program.units[unit].serial.value)
            if told:
                yield from (replace(line, about=about) for about in told)
            else:
                yield from (line,) * (program.forms.days if self.daily else DATED_LINES)
        yield from (LogLine(about=about) for about in told or ("",) * SPARE_LINES)

    def _write(self, kinds: set[str]) -> Iterator[LogColumn]:
        """Columns after the readings, in the order in which things are done."""
        say = self.translator.text
        if self.gas_check and self.gas_check.kind in kinds:  # asked, not printed: who fills it in has seen the bottle
            yield LogColumn(kind="lot", name=say("Lot of the cylinder"))
            yield LogColumn(kind="last", name=say("Its last day"))
        if "inspection" in kinds:
            looked_at = [given for check in self.checks if check.kind == "inspection" for given in check.look_at]
            yield from (LogColumn(kind="tick", name=self.translator.content_text(given)) for given in looked_at)
            if not looked_at:
                yield LogColumn(kind="found", name=say("What was found"))
        if "replacement" in kinds:
            yield LogColumn(kind="found", name=say("Part that was put in"))
        if "zero" in kinds and self.shared:
            yield LogColumn(kind="set", name=say("Zero set"))
        if "flow-block" in kinds:
            yield LogColumn(kind="blocked", name=say("Inlet closed: alarm in"))
        if "bump-test" in kinds:
            yield LogColumn(kind="alarms", name=say("Sounds, shows, shakes, in"), says=self._at_most())
        yield LogColumn(kind="verdict", name=say("Pass or fail: ring it"))
        yield LogColumn(kind="by", name=say("By"))

    def _at_most(self) -> Inlines:
        """How soon every alarm must have sounded, where the check says so."""
        keys = (keyed.CHECK_ALARMS_WITHIN(check=check.id) for check in self.checks)
        key = next((key for key in keys if key in self.ledger), "")
        return self.translator.sentence("at most {time}", time=held((Fig(key),))) if key else ()

    # ---- channels ----------------------------------------------------------

    def _channels(self, model: Model, cylinders: tuple[str, ...], kinds: set[str]) -> Iterator[LogChannel]:
        program = self.translator.program
        fitted = {sensor.channel.value: (position, sensor) for position, sensor in program.fitted(model)}
        for position, sensor in (fitted[channel] for channel in in_test_order(fitted)):
            own = own_cylinder((program.cylinders[cylinder] for cylinder in cylinders), sensor)
            window = self._window(own.id if own else "", sensor)
            gas = self.gas_check is not None and self.gas_check.kind in kinds and (bool(window) or not cylinders)
            write = tuple(self._readings(kinds, sensor.channel.value, gas=gas))
            if write:
                yield LogChannel(
                    name=self.translator.channel(sensor.channel.value),
                    unit=position.unit,
                    says=tuple(filter(None, self._says(kinds, sensor, window if gas else ()))),
                    write=write,
                )

    def _says(self, kinds: set[str], sensor: Sensor, window: Inlines) -> tuple[Inlines, ...]:
        """What passes in clean air and in gas, and which alarms have to sound."""
        channel = sensor.channel.value
        clean = self._clean(channel) if "zero" in kinds or CALIBRATION in kinds else ()
        return (clean, window, self._alarms(channel) if window else ())

    def _readings(self, kinds: set[str], channel: str, *, gas: bool) -> Iterator[LogColumn]:
        """What is written of one sensor; ``gas`` tells whether the cylinder says anything of it."""
        say = self.translator.text
        zero = say("Clean air") if channel == OXYGEN else say("Zero")
        if self.shared or CALIBRATION in kinds:
            names = [zero] * bool({"zero", CALIBRATION} & kinds) + [say("Gas")] * gas
        elif "zero" in kinds:
            names = [say("As found"), say("As left")]
        else:
            names = [say("As found")] * gas
        yield from (LogColumn(kind="reading", name=name) for name in names)

    def _clean(self, channel: str) -> Inlines:
        """What passes in clean air, where a check of zero says so."""
        cases = ({"check": check.id, "channel": channel} for check in self.zero_checks)
        edges = ((keyed.CLEAN_AIR_FROM(**case), keyed.CLEAN_AIR_TO(**case)) for case in cases)
        return next(filter(None, (self._between("Clean air: {window}", *pair) for pair in edges)), ())

    def _window(self, cylinder: str, sensor: Sensor) -> Inlines:
        if not (self.gas_check and cylinder):
            return ()
        case = {"cylinder": cylinder, "sensor": sensor.id, "check": self.gas_check.id}
        return self._between("Gas: {window}", keyed.WINDOW_FROM(**case), keyed.WINDOW_TO(**case))

    def _between(self, text: str, start: str, end: str) -> Inlines:
        """A window from one figure to another, nothing where there is none.

        It stands on one line where the type is small; letters of Arabic are set larger, and take two.
        """
        if start not in self.ledger or end not in self.ledger:
            return ()
        low, high = ((Fig(edge, bare=True),) for edge in (start, end))
        span = self.translator.sentence("{low} to {high}", low=low, high=high)
        return self.translator.sentence(text, window=span if self.translator.wording.right_to_left else held(span))

    def _alarms(self, channel: str) -> Inlines:
        made: list[Inline] = []
        for alarm in ("low", "high"):
            key = (
                self.ledger.resolve(keyed.SETPOINT(area=self.area, channel=channel, alarm=alarm)) if self.area else None
            )
            if key:
                comma = self.translator.wording.comma if made else ""
                # the first before the second, of oxygen too little before too much; a row has no room for more words
                made += [*([Text(comma)] if comma else []), *held((Fig(key, bare=True),))]
        return self.translator.sentence("Alarms: {alarms}", alarms=tuple(made)) if made else ()


def held(nodes: Inlines) -> Inlines:
    """The same, kept on one line."""
    return tuple(Text(node.text.replace(" ", NO_BREAK_SPACE)) if isinstance(node, Text) else node for node in nodes)
