"""Blank sheets for tests of the air, one a space: what is accepted is printed, what was read is written by hand."""

from collections.abc import Iterator

from builder.base.quantity import magnitude
from builder.base.record import dataclass
from builder.figures.ledger import Ledger
from builder.pages.blocks import Fig, Inlines
from builder.pages.log_rows import LogChannel, LogColumn, LogGroup, LogLine, held
from builder.pages.translator import Translator
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.test_order import in_test_order

AGAIN = 10
"""Lines for tests after the first."""
GO_IN = "Each channel has to rest at what is accepted. Else the entry supervisor decides."
START = "Start only when each channel rests at what is accepted."
ASKED, ASKED_OF_WATCH = ("Units used", "Bump test passed today"), ("Last flame at", "Watch until")
PLACES = ("floor", "at the work", "above it")
"""Where the air is tested for hot work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirTest:
    """A sheet to be made: for going in, or for hot work."""

    area: Area
    hot: bool

    @property
    def name(self) -> str:
        """Two hyphens, which no id of a check has."""
        return f"{'hot-work-test' if self.hot else 'entry-test'}--{self.area.id}"

    @property
    def title(self) -> str:
        """In English, to be translated."""
        return "Air test for hot work" if self.hot else "Air test before entry"


def air_tests(program: Program) -> Iterator[AirTest]:
    """The sheets that the site's own values make possible."""
    for area in program.areas.values():
        if program.site.entry is not None and area.entered:
            yield AirTest(area=area, hot=False)
        if program.site.hot_work is not None and area.hot_work:
            yield AirTest(area=area, hot=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class AirTestRows:
    """Makes the lines and tables of one sheet."""

    translator: Translator
    ledger: Ledger
    test: AirTest

    @property
    def watch(self) -> str:
        """Key of how long fire is watched for after hot work; empty where nothing says so."""
        key = keyed.HOT_WORK_WATCH_LONGEST()
        return key if self.test.hot and key in self.ledger.figures else ""

    def says(self) -> Iterator[Inlines]:
        """What holds for the whole test."""
        say = self.translator
        yield say.words(START if self.test.hot else GO_IN)
        for model in say.program.models_in(self.test.area):
            wait = keyed.HOSE_WAIT(area=self.test.area.id, model=model.id)
            if not self.test.hot and wait in self.ledger.figures:
                yield say.sentence(
                    "Wait at each level, {model}: {wait}.", model=say.named(model), wait=(Fig(wait, decisive=True),)
                )
        again = keyed.HOT_WORK_RETEST() if self.test.hot else keyed.ENTRY_RETEST()
        text = "Test again after {time} at most and after each break; write down when."
        yield say.sentence(text, time=(Fig(again, decisive=True),))
        if self.watch:
            yield say.sentence("Fire watch after the last flame: {time}.", time=(Fig(self.watch, decisive=True),))

    def asks(self) -> Iterator[str]:
        """What is written once, each on a line of its own."""
        yield from map(self.translator.text, (*ASKED, *(ASKED_OF_WATCH if self.watch else ())))

    def groups(self) -> tuple[LogGroup, ...]:
        """The first test with its levels, and room for those after it."""
        say = self.translator.text
        channels = tuple(self._channels())
        write = tuple(
            LogColumn(kind=kind, name=say(name))
            for kind, name in (("verdict", "Pass or fail: ring it"), ("next", "Next test at"), ("by", "By"))
        )
        first, after = tuple(self._levels()), (LogLine(),) * AGAIN
        return tuple(
            LogGroup(title=say(title), head=say("Level"), notes=(), channels=channels, write=write, lines=lines)
            for title, lines in (("First test", first), ("Tests after it", after))
        )

    def _levels(self) -> Iterator[LogLine]:
        say = self.translator.text
        count = self.ledger.get(keyed.LEVELS_COUNT(area=self.test.area.id))
        if self.test.hot or count is None:
            yield from (LogLine(unit=str(n), serial=say(place)) for n, place in enumerate(PLACES, start=1))
            return
        last = int(magnitude(count.printed_amount, ""))
        for n in range(1, last + 1):
            yield LogLine(unit=str(n), serial=say("top") if n == 1 else say("bottom") if n == last else "")

    def _channels(self) -> Iterator[LogChannel]:
        program = self.translator.program
        for channel in in_test_order(program.channels_in(self.test.area)):
            _, position, _ = program.fitted_in(self.test.area, channel)[0]
            yield LogChannel(
                name=self.translator.channel(channel),
                unit=position.unit,
                says=tuple(self._accepted(channel)),
                write=(LogColumn(kind="reading", name=self.translator.text("Reading")),),
            )

    def _accepted(self, channel: str) -> Iterator[Inlines]:
        say, hot = self.translator.sentence, self.test.hot
        low = (keyed.HOT_WORK_FROM if hot else keyed.ENTRY_FROM)(channel=channel)
        high = (keyed.HOT_WORK_TO if hot else keyed.ENTRY_TO)(channel=channel)
        span = self.translator.accepted(self.ledger, low, high, bare=True)
        if span:
            yield say("Accepted: {window}", window=held(span))
        stop = keyed.HOT_WORK_STOP(channel=channel)
        if hot and stop in self.ledger.figures:
            yield say("Stop at: {value}", value=(Fig(stop, bare=True, decisive=True),))
