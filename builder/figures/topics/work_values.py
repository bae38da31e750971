"""The site's values for entry and hot work, and the fire watch that a rule asks for."""

from __future__ import annotations

from collections.abc import Mapping

from builder.base.quantity import quantity
from builder.figures.formulas import origin
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import as_written
from builder.figures.terms import constant
from builder.program.keys.families import (
    ENTRY_FROM,
    ENTRY_RETEST,
    ENTRY_TO,
    HOT_WORK_FROM,
    HOT_WORK_RETEST,
    HOT_WORK_STOP,
    HOT_WORK_TO,
    HOT_WORK_WATCH,
    HOT_WORK_WATCH_RULE,
)
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


def compute(recorder: FigureRecorder) -> None:
    """Enter ``entry.*`` and ``hot-work.*``."""
    entry, hot = recorder.program.site.entry, recorder.program.site.hot_work
    if entry is not None:
        _spans(recorder, entry.start, (ENTRY_FROM, ENTRY_TO), "may be to go in")
        given = entry.retest_every
        recorder.stated(ENTRY_RETEST(), "The air of a space is tested again every", given, written_unit(given, TIMES))
    if hot is None:
        return
    _spans(recorder, hot.start, (HOT_WORK_FROM, HOT_WORK_TO), "may be to start hot work")
    for channel, stop in hot.stop.items():
        label = f"Hot work stops at this reading of {channel.replace('-', ' ')}"
        recorder.stated(HOT_WORK_STOP(channel=channel), label, stop, written_unit(stop, READS_IN))
    given = hot.retest_every
    recorder.stated(HOT_WORK_RETEST(), "At hot work the air is tested again every", given, written_unit(given, TIMES))
    if hot.watch is not None:
        label = "Fire watch after the last flame"
        recorder.stated(HOT_WORK_WATCH(), label, hot.watch, written_unit(hot.watch, TIMES))
    rule = WATCH_RULES.get(recorder.program.site.place.value)
    if rule is not None:
        label, term = (
            "Fire watch that the rule asks for",
            constant("the rule", quantity(int(ASKED), "min"), source=rule),
        )
        recorder.derived(HOT_WORK_WATCH_RULE(), label, "min", as_written(ASKED), origin.stated, term, source=rule)


def _spans(recorder: FigureRecorder, spans: Mapping[str, Span], ends: tuple[Family, Family], words: str) -> None:
    for channel, span in spans.items():
        name, unit = channel.replace("-", " "), written_unit(span.high, READS_IN)
        if span.low is not None:
            recorder.stated(ends[0](channel=channel), f"Lowest that {name} {words}", span.low, unit)
        recorder.stated(ends[1](channel=channel), f"Highest that {name} {words}", span.high, unit)
