"""The forms that figure keys have, so that a misspelt one is told together with the other faults of the content.

Only the ledger knows which figures there are, and it is made from content that is sound. Until then a key is held
against these forms and the ids that are defined.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cache

from builder.base.errors import Problem
from builder.base.nearest import nearest
from builder.base.where import Given
from builder.program.records import RECORD_KINDS
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR
from builder.reference.library import LEL_BASES
from builder.reference.limits import LIMIT_KINDS
from builder.reference.rules import QUANTITIES

FORMS = """
site.pressure|temperature|molar-volume|altitude|shift|long-shift-factor
reference.pressure|temperature|molar-volume
handbook.as-of
document.reviewed|review-due|review-every|cards-valid-for
setpoints.reviewed|review-due|review-every
gas.<gas>.molar-mass|density-to-air|lel|uel|ionisation-energy|mg-m3-per-ppm|vapour-pressure|highest-vapour|reachable-lel
gas.<gas>.lel|uel.ppm|g-m3
gas.<gas>.lel|uel.<basis>
gas.<gas>.lel.at-temperature.<area>
gas.<gas>.limit.<list>.<limit>
gas.<gas>.limit.<list>.<limit>.mg-m3|long-shift
limit.<area>.<quantity>
limit.<area>.<quantity>.alarm|act|test
setpoint.<area>.<channel>.low|high|twa|stel
setpoint.<area>.<channel>.low|high|twa|stel.true|vol|vapour|protects
response.<sensor>.<gas>.factor|factor-in-table|on-simulant
sensor.<sensor>.lamp|life|minimum-oxygen|least-span
reading.at-*
reading.<area>.<gas>.at-*
window.<cylinder>.<sensor>.<check>.expected|from|to|tolerance
cylinder.<cylinder>.expires|flow|gas-left|gas-used|pressure|reorder-by|runs-out|stop-at|tests-a-day|tests-left
cylinder.<cylinder>.usable-until|volume|measured|certified-on
cylinder.<cylinder>.<gas>
cylinder.<cylinder>.<gas>.lel|label|uncertainty
span.<cylinder>.<sensor>.enter
hose.<area>.<model>.draw-time|wait|transit|volume|descent-speed
levels.<area>.count|total-time
check.<check>.gas-time|alarms-within|on-time|interval|due-soon
check.<check>.window.<channel>.absolute|relative
unit.<unit>.<check>.last|due|interval
unit.<unit>.<sensor>.drift|next-interval|span-left|span-end
unit.<unit>.<sensor>.next-interval.found
model.<model>.runtime|runtime-at-coldest|runtime-cold|runtime-margin|log-capacity|log-full-after|download-every
model.<model>.pump-flow|longest-hose|hose|hose-bore|flow-block|filter-every|works-from|works-to
model.<model>.part.*
model.<model>.lone-worker.motionless|warning|total
model.<model>.<sensor>.t90|full-scale|resolution
area.<area>.depth|hose|lowest-oxygen|temperature|rescue-within
area.<area>.<gas>.vapour-pressure|highest-vapour|reachable-lel
record.*.*.day|as-found|as-left|seconds|days
records.*.<kind>.rows|good|failed
records.*.<check>.on-time
procedure.<procedure>.reviewed|review-due|review-every
card.issued
card.<card>.valid-until
revision.*.effective
retention.*.keep
retention.minimum.*
oxygen.after.*
oxygen.displaced-by-1
oxygen.<area>.displaced-by-1
oxygen.site.partial-pressure|water-vapour-saturated|water-vapour-humid
oxygen.site.at-*.display|partial-pressure|partial-pressure-saturated|partial-pressure-humid|sea-level
chart.at-*
chart.<gas>.mg-m3|vol.at-*
chart.<area>.<gas>.to-twa|to-stel.at-*
mixture.<area>.*.lel|equivalent-limit
mixture.<area>.*.at-*
mixture.<area>.*.<gas>.part|lel-share
mixture.<area>.*.flammable|vapour.factor
mixture.<area>.*.on-*.factor
cross.<sensor>.<gas>.coefficient
cross.<area>.<sensor>.<gas>.apparent
"""
"""One form a line: between dots stand words (``|`` between those allowed), a ``<kind>`` of id, or anything (``*``)."""

IDS = ("area", "card", "check", "cylinder", "model", "procedure", "sensor", "unit")
"""Kinds of id that keys have; gases and what is made of them come from ``named``."""

Known = Mapping[str, Collection[str] | None]
"""Names by kind; ``None`` where the file that defines them cannot be read, so that any name may be right."""


def named(gases: Collection[str] | None, lists: Collection[str] | None) -> dict[str, Collection[str] | None]:
    """The kinds of name that need no id of their own: of a gas (or its formula), a channel, a list, and so on."""
    channels = None if gases is None else {*gases, FLAMMABLE, OXYGEN, VAPOUR}
    fixed = {"kind": RECORD_KINDS, "basis": LEL_BASES, "limit": LIMIT_KINDS, "quantity": QUANTITIES}
    return {"gas": gases, "channel": channels, "list": lists, **fixed}


@cache
def _forms() -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(line.split(".")) for line in FORMS.split())


def unknown_keys(quoted: Iterable[Given[str]], known: Known) -> Iterator[Problem]:
    """A fault for each key that no form has, with the nearest keys that have one."""
    for given in quoted:
        if not any(_fits(given.value.split("."), form, known) for form in _forms()):
            close = _nearest(given.value, known)
            yield Problem(given.where, f"no figure has the key {given.value!r}", "a key of docs/keys.md", close)


def _fits(parts: list[str], form: tuple[str, ...], known: Known) -> bool:
    return len(parts) == len(form) and all(_is(part, slot, known) for part, slot in zip(parts, form, strict=True))


def _is(part: str, slot: str, known: Known) -> bool:
    if slot.endswith("*"):
        return part.startswith(slot[:-1]) and len(part) >= len(slot)
    names = _names(slot, known)
    return names is None or part in names


def _names(slot: str, known: Known) -> Collection[str] | None:
    """What may stand in a part of a form; ``None`` for anything."""
    if slot.endswith("*"):
        return None
    return known[slot[1:-1]] if slot.startswith("<") else slot.split("|")


def _nearest(key: str, known: Known) -> tuple[str, ...]:
    """At most three keys in which every part that is wrong was replaced by the nearest right one."""
    parts = key.split(".")
    made = [_mended(parts, form, known) for form in _forms() if len(form) == len(parts)]
    keys = [".".join(found) for found in made if found]
    return tuple(difflib.get_close_matches(key, dict.fromkeys(keys), n=3, cutoff=0.6))


def _mended(parts: list[str], form: tuple[str, ...], known: Known) -> list[str] | None:
    mended: list[str] = []
    for part, slot in zip(parts, form, strict=True):
        close = (part,) if _is(part, slot, known) else nearest(part, _names(slot, known) or (), count=1)
        if not close:
            return None
        mended.append(close[0])
    return mended
