"""The site's values for entry and hot work, and the fire watch that a rule asks for."""

from collections.abc import Mapping
from fractions import Fraction

from builder.base.quantity import Quantity, quantity
from builder.base.where import Given
from builder.figures.figure import Figure
from builder.figures.formulas import clock, origin
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import as_written, wait
from builder.figures.terms import as_set, constant, exactly
from builder.program.keys import families as keyed
from builder.program.keys.family import Family
from builder.program.models import READS_IN
from builder.program.values import written_unit
from builder.program.work_values import TIMES, Span

WATCH_RULES = {
    "us-general-industry": "29 CFR 1910.252 (a)(2)(iii)(B), at least a half hour; binding",
    "us-shipyard": "29 CFR 1915.504 (b)(3), at least 30 minutes unless a survey finds no hazard; binding",
}
"""By place, who asks for half an hour of fire watch; both read in copies of the eCFR."""
ASKED = "30"
MINUTES = wait(Fraction(1))


def compute(recorder: FigureRecorder) -> None:
    """Enter ``entry.*`` and ``hot-work.*``."""
    entry, hot = recorder.program.site.entry, recorder.program.site.hot_work
    if entry is not None:
        _spans(recorder, entry.start, (keyed.ENTRY_FROM, keyed.ENTRY_TO), "may be to go in")
        recorder.stated(keyed.ENTRY_RETEST(), "The air of a space is tested again every", entry.retest_every, TIMES)
    if hot is None:
        return
    _spans(recorder, hot.start, (keyed.HOT_WORK_FROM, keyed.HOT_WORK_TO), "may be to start hot work")
    for channel, stop in hot.stop.items():
        label = f"Hot work stops at this reading of {channel.replace('-', ' ')}"
        recorder.stated(keyed.HOT_WORK_STOP(channel=channel), label, stop, READS_IN)
    recorder.stated(keyed.HOT_WORK_RETEST(), "At hot work the air is tested again every", hot.retest_every, TIMES)
    _watch(recorder, hot.watch)


def _watch(recorder: FigureRecorder, given: Given[Quantity] | None) -> None:
    """The fire watch of site and rule, the longer of them, and what it adds to the time of the last flame."""
    asked: list[Figure] = []
    if given is not None:
        asked.append(recorder.stated(keyed.HOT_WORK_WATCH(), "Fire watch after the last flame", given, TIMES))
    rule = WATCH_RULES.get(recorder.program.site.place.value)
    if rule is not None:
        label, term = "Fire watch that the rule asks for", constant("rule", quantity(int(ASKED), "min"), source=rule)
        asked.append(
            recorder.derived(
                keyed.HOT_WORK_WATCH_RULE(), label, "min", as_written(ASKED), origin.stated, term, source=rule
            )
        )
    if not asked:
        return
    terms = [exactly(figure) for figure in asked]
    kept = recorder.derived(
        keyed.HOT_WORK_WATCH_LONGEST(), "Fire watch that is kept", "min", MINUTES, clock.longest, terms
    )
    label, ends = "from the last flame until the fire watch may end", as_set(kept)
    hours, minutes = f"Whole hours {label}", f"Minutes beyond the hours {label}"
    recorder.derived(keyed.HOT_WORK_WATCH_HOURS(), hours, "h", MINUTES, clock.by_the_clock, ends, part=0)
    recorder.derived(keyed.HOT_WORK_WATCH_MINUTES(), minutes, "min", MINUTES, clock.by_the_clock, ends, part=1)


def _spans(recorder: FigureRecorder, spans: Mapping[str, Span], ends: tuple[Family, Family], words: str) -> None:
    for channel, span in spans.items():
        name, unit = channel.replace("-", " "), written_unit(span.high, READS_IN)
        recorder.each_stated(
            (ends[0], f"Lowest that {name} {words}", span.low, unit),
            (ends[1], f"Highest that {name} {words}", span.high, unit),
            channel=channel,
        )
