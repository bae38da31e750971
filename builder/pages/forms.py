"""Blank log sheets: what is known is printed (units, cylinder, window, alarms), what is measured is written by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from builder.figures.ledger import Ledger
from builder.findings.states import State, dues
from builder.pages.blocks import Fig, Inlines, Text, figures_in
from builder.pages.words import ALARM_WORDS, channel_word
from builder.program.checks import Check
from builder.program.inventory import Unit
from builder.program.program import Program

DAILY_LINES = 5
"""Lines a unit for checks before each day's use: a working week."""
DATED_LINES = 2
"""Lines a unit for other checks: the check, and its repetition after a fail."""
SPARE_LINES = 2
"""Lines without a unit at the end of each group: one that is lent, one new."""
POOLS = "pools"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogChannel:
    """What one sensor must show, and the columns to write what it showed."""

    name: str
    unit: str
    """Unit spelling of its display, or empty."""
    window: Inlines
    """Display that passes; empty where the check has no window."""
    alarms: Inlines
    """Alarms it must sound; empty where there are none to compare with."""
    write: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLine:
    """One line to fill in; without a unit the reader writes which it is."""

    unit: str = ""
    serial: str = ""
    cylinder: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogGroup:
    """Units of one model that are checked with one cylinder."""

    title: str
    channels: tuple[LogChannel, ...]
    write: tuple[str, ...]
    """Further columns to write in."""
    lines: tuple[LogLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogSheet:
    """The log sheet of one check in one area."""

    id: str
    check: str
    area: str
    """Id of the area, or empty for units in pools."""
    title: str
    place: str
    site: str
    paper: str
    language: str
    says: tuple[Inlines, ...]
    """Short lines above the table: times, and what to do after a fail."""
    groups: tuple[LogGroup, ...]
    foot: Inlines
    draft: bool
    invented: bool

    @property
    def path(self) -> str:
        """Where its PDF lies."""
        return f"forms/{self.id}.pdf"

    @property
    def figures(self) -> tuple[str, ...]:
        """Keys of the figures it prints, in reading order, each once."""
        channels = (channel for group in self.groups for channel in group.channels)
        printed = (self.says, *((channel.window, channel.alarms) for channel in channels), self.foot)
        return tuple(dict.fromkeys(figures_in(printed)))


def log_sheets(program: Program, ledger: Ledger, *, draft: bool) -> tuple[LogSheet, ...]:
    """A sheet for each check and each area that has units to be checked; units in pools share one a check."""
    found: dict[tuple[str, str], list[Unit]] = {}
    daily: dict[tuple[str, str], bool] = {}
    for due in dues(program, ledger):
        key = (due.check.id, due.unit.area.value if due.unit.area else "")
        found.setdefault(key, []).append(due.unit)
        daily[key] = due.state is State.DAILY
    ids = _ids(tuple(found))
    return tuple(
        _Maker(program, ledger, program.checks[check], area, daily[check, area]).sheet(
            ids[check, area], tuple(found[check, area]), draft=draft
        )
        for check in program.checks
        for area in (*program.areas, "")
        if (check, area) in found
    )


def _ids(keys: tuple[tuple[str, str], ...]) -> dict[tuple[str, str], str]:
    """``bump-test-wet-well``; two hyphens, which no id has, where that would name two sheets, and for pools."""
    short = Counter(f"{check}-{area}" for check, area in keys if area)
    return {
        (check, area): f"{check}-{area}" if area and short[f"{check}-{area}"] == 1 else f"{check}--{area or POOLS}"
        for check, area in keys
    }


@dataclass(frozen=True, slots=True)
class _Maker:
    """Makes the sheet of one check in one area."""

    program: Program
    ledger: Ledger
    check: Check
    area: str
    daily: bool

    def sheet(self, name: str, units: tuple[Unit, ...], *, draft: bool) -> LogSheet:
        """The sheet of these units."""
        site = self.program.site
        return LogSheet(
            id=name,
            check=self.check.id,
            area=self.area,
            title=self.check.name,
            place=self.program.areas[self.area].name if self.area else "Units in pools",
            site=site.name.value,
            paper=site.paper.value,
            language=site.languages[0].value,
            says=tuple(self._says()),
            groups=tuple(self._groups(units)),
            foot=self._foot(draft=draft),
            draft=draft,
            invented=site.invented,
        )

    def _says(self) -> Iterator[Inlines]:
        key = f"check.{self.check.id}"
        if self.ledger.get(f"{key}.gas-time"):
            words = "Gas flows for " if self.check.uses_gas else "Wait "
            yield (Text(words), Fig(f"{key}.gas-time"), Text("."))
        if self.ledger.get(f"{key}.alarms-within"):
            yield (Text("Every alarm must sound within "), Fig(f"{key}.alarms-within"), Text("."))
        if self.check.uses_gas:
            yield (Text("Write what the display showed before anything was adjusted."),)
        yield (Text("A unit that fails is taken out of use and written down."),)

    def _foot(self, *, draft: bool) -> Inlines:
        revision = self.program.revision
        name = "Draft" if draft or revision is None else f"Revision {revision.number.value}"
        return (Text(f"{name} · figures as of "), Fig("handbook.as-of"))

    def _groups(self, units: tuple[Unit, ...]) -> Iterator[LogGroup]:
        alike: dict[tuple[str, str], list[Unit]] = {}
        for unit in units:
            cylinder = unit.cylinder.value if unit.cylinder and self.check.uses_gas else ""
            alike.setdefault((unit.model.value, cylinder), []).append(unit)
        for (model, cylinder), same in alike.items():
            name = self.program.models[model].name
            title = f"{name}, with cylinder {cylinder}" if cylinder else name
            yield LogGroup(
                title=title,
                channels=tuple(self._channels(model, cylinder)),
                write=tuple(self._write()),
                lines=tuple(self._lines(same, cylinder)),
            )

    def _lines(self, units: list[Unit], cylinder: str) -> Iterator[LogLine]:
        for unit in units:
            line = LogLine(unit=unit.id, serial=unit.serial.value, cylinder=cylinder)
            yield from (line,) * (DAILY_LINES if self.daily else DATED_LINES)
        yield from (LogLine(),) * SPARE_LINES

    def _write(self) -> Iterator[str]:
        if self.check.kind == "bump-test":
            yield "All alarms after"
        elif self.check.kind == "inspection":
            yield "What was found"
        elif self.check.kind == "flow-block":
            yield "Alarm when blocked"
        yield from ("Pass or fail", "By")

    def _channels(self, model: str, cylinder: str) -> Iterator[LogChannel]:
        if self.check.kind in ("inspection", "flow-block"):
            return
        adjusted = self.check.kind in ("calibration", "zero")
        for position, sensor in self.program.fitted(self.program.models[model]):
            window = self._window(f"window.{cylinder}.{sensor.id}.{self.check.id}")
            if self.check.uses_gas and cylinder and not window:
                continue  # this cylinder says nothing of this sensor
            yield LogChannel(
                name=channel_word(self.program, sensor.channel.value),
                unit=position.unit,
                window=window,
                alarms=self._alarms(sensor.channel.value) if self.check.uses_gas else (),
                write=("As found", "As left") if adjusted else ("As found",),
            )

    def _window(self, key: str) -> Inlines:
        if not (self.ledger.get(f"{key}.from") and self.ledger.get(f"{key}.to")):
            return ()
        return (Fig(f"{key}.from", bare=True), Text(" to "), Fig(f"{key}.to", bare=True))

    def _alarms(self, channel: str) -> Inlines:
        made: list[Fig | Text] = []
        for alarm in ("low", "high"):
            key = self.ledger.resolve(f"setpoint.{self.area}.{channel}.{alarm}") if self.area else None
            if key:
                made += [Text(f"{', ' if made else ''}{ALARM_WORDS[alarm]} "), Fig(key, bare=True)]
        return tuple(made)
