"""Blank log sheets: what is known is printed (units, cylinder, window, alarms), what is measured is written by hand.

What one person does to a unit before each day's use is written in one row; any other check has a sheet of its own.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import partial

from builder.base.record import dataclass
from builder.figures.computed import Computed
from builder.figures.due_checks import State
from builder.figures.ledger import Ledger
from builder.pages.blocks import Fig, Inlines
from builder.pages.compositions import figures_in
from builder.pages.fixed_words import ON_FORMS
from builder.pages.log_rows import LogGroup, LogRows
from builder.pages.test_sheets import AirTest, AirTestRows, air_tests
from builder.pages.translator import Composition, PaperTexts, Translator, paper_texts, wording_of
from builder.program.checks import Check
from builder.program.keys.families import AS_OF, RETENTION_KEEP
from builder.program.languages import ENGLISH
from builder.program.program import Program

DAILY = "daily"
"""Name of the sheet that checks before each day's use share."""
SHARED_KINDS = ("inspection", "flow-block", "zero")
"""Kinds that go into a shared row, once each, in the order in which they are done; then comes the first check with gas,
but never a calibration."""
POOLS = "pools"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogSheet:
    """The log sheet of one check, or of those made together, in one area."""

    id: str
    checks: tuple[str, ...]
    """Ids of the checks whose results are written on it."""
    area: str
    """Id of the area, or empty for units in pools."""
    title: str
    place: str
    site: str
    paper: str
    language: str
    period: str
    """What it is filled in for: a week, or from day to day; a line to write on follows."""
    keep: Inlines
    """How long it is kept once it is full."""
    says: tuple[Inlines, ...]
    """Short lines above the table: times, and what to do after a fail."""
    asks: tuple[str, ...] = ()
    """What is written once above the tables: lines to write on follow."""
    groups: tuple[LogGroup, ...]
    foot: Inlines
    draft: bool
    invented: bool

    @property
    def name(self) -> str:
        """Its id, with its language where that is not the language of the pages."""
        return self.id if self.language == ENGLISH else f"{self.id}.{self.language}"

    @property
    def path(self) -> str:
        """Where its PDF lies."""
        return f"forms/{self.name}.pdf"

    @property
    def figures(self) -> tuple[str, ...]:
        """Keys of the figures it prints, in reading order, each once."""
        channels = (channel for group in self.groups for channel in group.channels)
        heads = (column.says for group in self.groups for column in group.write)
        notes = (group.notes for group in self.groups)
        printed = (self.keep, self.says, *notes, *(one.says for one in channels), *heads, self.foot)
        return tuple(dict.fromkeys(figures_in(printed)))


@dataclass(frozen=True, slots=True)
class _Plan:
    """A sheet to be made: its checks, its area, and the units with the checks asked of each."""

    checks: tuple[Check, ...]
    area: str
    daily: bool
    asked: Mapping[str, tuple[str, ...]]
    """Unit id to ids of checks."""


def log_sheets(computed: Computed, *, draft: bool) -> Composition[LogSheet]:
    """A sheet for each area and each check, or for those done together; units in pools share one.

    Each in every language its area asks for.
    """
    program, ledger = computed.program, computed.ledger
    plans = tuple(_plans(computed))
    named = zip(plans, _names(program, plans), strict=True)
    made = [(plan.area, partial(_sheet, plan=plan, name=name, draft=draft)) for plan, name in named]
    made += [(test.area.id, partial(_air_test, test=test, draft=draft)) for test in air_tests(program)]
    sheets: list[LogSheet] = []
    texts: list[PaperTexts] = []
    for area, make in made:
        for given in program.forms.spoken_in(area, program.site.languages[0]):
            translator = Translator(program=program, wording=wording_of(program, given.value))
            sheet = make(translator, ledger)
            sheets.append(sheet)
            told = f"log sheet {sheet.id}"
            texts.append(paper_texts(told, given, translator, ON_FORMS.values(), sheet.figures, ledger))
    return Composition(papers=tuple(sheets), texts=tuple(texts))


def _plans(computed: Computed) -> Iterator[_Plan]:
    program = computed.program
    found: dict[str, dict[str, dict[str, State]]] = {}
    for due in computed.due_checks:
        area = due.unit.area.value if due.unit.area else ""
        found.setdefault(area, {}).setdefault(due.check.id, {})[due.unit.id] = due.state
    for area in (*program.areas, ""):
        here = found.get(area, {})
        daily = {check for check, units in here.items() if State.DAILY in units.values()}
        for checks in _together(program, [program.checks[check] for check in program.checks if check in here], daily):
            asked: dict[str, tuple[str, ...]] = {}
            for check in checks:
                for unit in here[check.id]:
                    asked[unit] = (*asked.get(unit, ()), check.id)
            yield _Plan(checks, area, checks[0].id in daily, asked)


def _together(program: Program, checks: Iterable[Check], daily: set[str]) -> tuple[tuple[Check, ...], ...]:
    """Checks by sheet, in the order of the plan: those written in one row, and each other one by itself."""
    separate = {given.value for given in program.forms.separate}
    shared: list[Check] = []
    alone: list[Check] = []
    for check in checks:
        with_gas = check.uses_gas and check.kind != "calibration" and not any(one.uses_gas for one in shared)
        fits = with_gas or (check.kind in SHARED_KINDS and all(one.kind != check.kind for one in shared))
        joins = fits and check.id in daily and check.id not in separate
        (shared if joins else alone).append(check)
    shared.sort(key=lambda check: SHARED_KINDS.index(check.kind) if check.kind in SHARED_KINDS else len(SHARED_KINDS))
    sheets = [tuple(shared)] if shared else []
    return (*sheets, *((check,) for check in alone))


def _names(program: Program, plans: Iterable[_Plan]) -> tuple[str, ...]:
    """``bump-test-wet-well``; two hyphens, which no id has, where that would name two sheets, and for pools."""
    shared = DAILY
    while shared in program.checks:
        shared += "-use"
    pairs = [(plan.checks[0].id if len(plan.checks) == 1 else shared, plan.area) for plan in plans]
    short = Counter(f"{check}-{area}" for check, area in pairs if area)
    return tuple(
        f"{check}-{area}" if area and short[f"{check}-{area}"] == 1 else f"{check}--{area or POOLS}"
        for check, area in pairs
    )


def _sheet(translator: Translator, ledger: Ledger, plan: _Plan, name: str, *, draft: bool) -> LogSheet:
    program = translator.program
    rows = LogRows(translator=translator, ledger=ledger, checks=plan.checks, area=plan.area, daily=plan.daily)
    return _blank(translator, ledger, draft=draft)(
        id=name,
        checks=tuple(check.id for check in plan.checks),
        area=plan.area,
        title=translator.text("Before each day’s use") if rows.shared else translator.named(plan.checks[0]),
        place=translator.named(program.areas[plan.area]) if plan.area else translator.text("Units in pools"),
        period=translator.text("Week of" if plan.daily else "From and to"),
        says=rows.says(),
        groups=rows.groups(plan.asked),
    )


def _air_test(translator: Translator, ledger: Ledger, test: AirTest, *, draft: bool) -> LogSheet:
    rows = AirTestRows(translator=translator, ledger=ledger, test=test)
    return _blank(translator, ledger, draft=draft)(
        id=test.name,
        checks=(),
        area=test.area.id,
        title=translator.text(test.title),
        place=translator.named(test.area),
        period=translator.text("Day"),
        says=tuple(rows.says()),
        asks=tuple(rows.asks()),
        groups=rows.groups(),
    )


def _blank(translator: Translator, ledger: Ledger, *, draft: bool) -> partial[LogSheet]:
    """A sheet that has only what every sheet says."""
    site, keep, foot = translator.program.site, _keep(translator, ledger), _foot(translator, draft=draft)
    return partial(LogSheet, site=site.name.value, paper=site.paper.value, language=translator.language,
                   keep=keep, foot=foot, draft=draft, invented=site.invented)  # fmt: skip


def _keep(translator: Translator, ledger: Ledger) -> Inlines:
    """How long, where the site names the entry of its records that says so."""
    given = translator.program.forms.keep
    key = RETENTION_KEEP(entry=given.value) if given else ""
    if key not in ledger:
        return translator.words("Keep this sheet until")
    return translator.sentence("Keep {time} after the last day.", time=(Fig(key),))


def _foot(translator: Translator, *, draft: bool) -> Inlines:
    revision = translator.program.revision
    name = translator.text("Draft")
    if revision is not None and not draft:
        name = translator.text("Revision {number}", number=str(revision.number.value))
    return translator.sentence("{name} · figures as of {day}", name=name, day=(Fig(AS_OF()),))
