"""What every section needs: the program, its figures, and names and links for the things in it."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from functools import cached_property
from typing import Final, TypeAlias

from builder.base.finding import Finding, Severity
from builder.base.record import dataclass
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.history.archive import Past
from builder.load.markdown import ProseNode
from builder.pages.blocks import Absent, Block, Fig, Inline, Inlines, Link, Notice, Text
from builder.pages.compositions import Page
from builder.pages.handbook.figure_pages import NOWHERE, FigurePages
from builder.pages.handbook.labels import CHANNELS, capital, spelt_alarm_word, word
from builder.pages.handbook.parts import apart, inlines, page, para, to
from builder.pages.handbook.sections import SECTIONS
from builder.pages.outputs import Outputs
from builder.program.interval import Interval
from builder.program.inventory import Unit
from builder.program.program import Program
from builder.program.records import Person

ProseBlocks: TypeAlias = Callable[[tuple[ProseNode, ...]], tuple[Block, ...]]


INDEXES: Final = {index: title for _, title, index in SECTIONS}
"""Reference of the index page of a section -> its title."""


def names_of(of: Program) -> Mapping[str, str]:
    """Title of everything that has a page or an anchor of its own, by reference."""
    made: dict[str, str] = {f"gas:{gas.id}": gas.name for gas in of.gases.values()}
    made |= {f"area:{area.id}": area.name for area in of.areas.values()}
    made |= {f"model:{model.id}": model.name for model in of.models.values()}
    made |= {f"sensor:{sensor.id}": sensor.name for sensor in of.sensors.values()}
    made |= {f"unit:{unit}": unit for unit in of.units}
    made |= {f"cylinder:{cylinder}": cylinder for cylinder in of.cylinders}
    made |= {f"check:{check.id}": check.name for check in of.checks.values()}
    made |= {f"procedure:{procedure.id}": procedure.title for procedure in of.procedures.values()}
    made |= {f"card:{card.id}": card.title for card in of.cards.values()}
    return made


def index_page(section: str, lead: Inlines, blocks: Iterable[Block]) -> Page:
    """The page with which a section begins, under the section's own title."""
    title, reference = next((title, index) for name, title, index in SECTIONS if name == section)
    return page(reference, title, section, lead, blocks)


@dataclass(frozen=True, kw_only=True)  # no slots, for what is sorted once
class HandbookContext:
    """The input of every section."""

    computed: Computed
    findings: tuple[Finding, ...]
    prose: ProseBlocks
    card_codes: Mapping[str, str]
    names: Mapping[str, str]
    """Title of everything that has a page or an anchor of its own, by reference."""
    outputs: Outputs = field(default_factory=Outputs)
    """What the site has beside pages and cards."""
    told_on: FigurePages = NOWHERE
    """Which page tells the derivation of a figure."""
    past: Past = field(default_factory=Past)
    """What was released before, and which revision is being released."""

    @property
    def program(self) -> Program:
        """What the site wrote."""
        return self.computed.program

    @property
    def ledger(self) -> Ledger:
        """Its figures."""
        return self.computed.ledger

    # ---- figures -----------------------------------------------------------

    def maybe(self, key: str, *, bare: bool = False) -> Inlines | None:
        """A figure, or ``None`` where there is none."""
        real = self.ledger.resolve(key)
        return (Fig(real, bare=bare),) if real else None

    def fig(self, key: str, *, bare: bool = False, absent: str = "") -> Inlines:
        """A figure, or the reason why there is none."""
        return self.maybe(key, bare=bare) or ((Absent(absent) if absent else Absent()),)

    def interval(self, key: str, given: Given[Interval]) -> Inlines:
        """An interval: its figure where the ledger has one, else the author's words."""
        return self.maybe(key) or inlines(given.value.text)

    # ---- names and links -----------------------------------------------------

    def link(self, kind: str, name: str) -> Link:
        """A link to a thing, with its own name as words."""
        reference = f"{kind}:{name}"
        return Link(reference, (apart(self.names[reference]),))

    def links(self, kind: str, names: Iterable[str | Given[str]]) -> tuple[Link, ...]:
        """Links to several things of a kind, each once; by their ids, as known or as content names them."""
        ids = (name.value if isinstance(name, Given) else name for name in names)
        return tuple(self.link(kind, name) for name in dict.fromkeys(ids))

    def channel(self, name: str) -> Inlines:
        """The name of a channel, linked where it is a gas of the site."""
        if name in self.program.gases:
            return (self.link("gas", name),)
        return inlines(apart(self.channel_name(name)))

    def channel_name(self, name: str) -> str:
        """The name of a channel without link."""
        return CHANNELS.get(name) or self.names.get(f"gas:{name}") or word({}, name)

    @staticmethod
    def alarm_name(channel: str, alarm: str) -> str:
        """The name of an alarm as cards have it; the two of oxygen say which way they look."""
        return capital(spelt_alarm_word(alarm, str, channel))

    def person(self, person: Person) -> str:
        """Who somebody is: by name only where the site prints names, else by the id that records have."""
        return person.name if self.program.site.names_public else person.id

    def holder(self, name: str) -> str:
        """Who has a unit, where the site prints names."""
        return name if self.program.site.names_public or not name else "named in the content"

    def place(self, unit: Unit) -> Inlines:
        """Where a unit is: its area, or the name of its pool."""
        return (self.link("area", unit.area.value),) if unit.area else inlines(unit.place)

    # ---- findings -------------------------------------------------------------

    @cached_property
    def _about(self) -> Mapping[str, list[Finding]]:
        """Findings by all that they are about, in their order."""
        made: dict[str, list[Finding]] = {}
        for finding in self.findings:
            for reference in dict.fromkeys((finding.subject, *finding.touches)):
                made.setdefault(reference, []).append(finding)
        return made

    def found(self, reference: str, severities: Iterable[Severity] = Severity) -> tuple[Block, ...]:
        """The findings of these severities about one thing, a notice a severity; nothing when there are none."""
        made: list[Block] = []
        for severity in severities:
            about = self._about.get(reference, ())
            lines = tuple(para(finding.message) for finding in about if finding.severity is severity)
            if lines:
                more = para("How to correct it: ", to("page:findings", "findings"), ".")
                made.append(Notice(severity.value, (*lines, more)))
        return tuple(made)

    def reference(self, reference: str) -> Inline:
        """A thing or an index page by its reference: linked when the site has it, else as plain text."""
        title = self.names.get(reference) or INDEXES.get(reference)
        return to(reference, title) if title else Text(reference)
