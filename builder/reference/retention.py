"""Published minimums of how long records are kept, in our own words; each says whether it was read in its source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Minimum:
    """One published minimum."""

    id: str
    what: str
    years: int
    """How many; 0 where the rule names no number."""
    keep: str
    """What it says, with ``{}`` for the years."""
    citation: str
    force: str
    """``law`` or ``guidance``."""
    place: str
    read: bool
    """Whether the rule's own words were read in a stored copy."""


MINIMUMS: Final = (
    Minimum(
        id="cancelled-permits",
        what="Cancelled entry permits, with the tests written on them",
        years=1,
        keep="{} or more, then a review of the program",
        citation="29 CFR 1910.146(e)(6), (d)(14)",
        force="law",
        place="United States",
        read=True,
    ),
    Minimum(
        id="exposure",
        what="Records of personal exposure; data logs count when they are used as evidence of it",
        years=30,
        keep="{}",
        citation="29 CFR 1910.1020(d)(1)(ii)",
        force="law",
        place="United States",
        read=True,
    ),
    Minimum(
        id="worksheets",
        what="Worksheets behind exposure records, where method, results and a summary are kept",
        years=1,
        keep="{}",
        citation="29 CFR 1910.1020(d)(1)(ii)",
        force="law",
        place="United States",
        read=True,
    ),
    Minimum(
        id="offshore",
        what="History of detectors on offshore units: installation, inspection, repair, adjustment, tests, calibration",
        years=0,
        keep="no time is named in what was read",
        citation="30 CFR 250.490(j)(8)",
        force="law",
        place="United States, offshore",
        read=True,
    ),
    Minimum(
        id="device-history",
        what="History of a portable detector: checks, calibrations, repairs",
        years=0,
        keep="the life of the instrument",
        citation="OSHA Safety and Health Information Bulletin on calibrating and testing direct-reading detectors",
        force="guidance",
        place="United States",
        read=False,
    ),
    Minimum(
        id="entry-tests",
        what="Atmospheric tests of confined spaces",
        years=1,
        keep="the longer of {} and the two latest of each kind",
        citation="Ontario Regulation 632/05 section 21",
        force="law",
        place="Ontario",
        read=False,
    ),
)
"""In the order they are printed."""
