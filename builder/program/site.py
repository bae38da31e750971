"""The site: basis of every figure, ambient conditions, contacts, document control."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from builder.base.quantity import Quantity
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.interval import Interval, interval_of
from builder.program.reading import Faults, Fields, quantity_of

LEL_BASES = ("iec-60079-20-1-2010", "nfpa-497-2008")
LIMIT_LISTS = ("osha", "niosh", "uk", "eu")
PAPERS = ("A4", "Letter")
LANGUAGES = ("en",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """What the site chose and prints beside every number that hangs on it."""

    lel: Given[str]
    """Id of the table that defines 100 %LEL."""
    lel_reason: Given[str]
    """Why that one."""
    reference_temperature: Given[Quantity]
    """Temperature of the ppm to mg/m3 conversion of limits."""
    reference_pressure: Given[Quantity]
    """Pressure of the same."""
    limits: tuple[Given[str], ...]
    """Limit lists printed, in the site's order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ambient:
    """Where the site is: exactly one of altitude and pressure is given."""

    altitude: Given[Quantity] | None
    pressure: Given[Quantity] | None
    temperature: Given[Quantity]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Whom to call."""

    role: Given[str]
    name: Given[str]
    call: Given[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentControl:
    """The handbook as a controlled document."""

    title: Given[str]
    owner: Given[str]
    reviewed: Given[date]
    review_every: Given[Interval]
    cards_valid_for: Given[Interval]


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Everything of ``site.yaml``."""

    name: Given[str]
    short: Given[str]
    invented: bool
    place: Given[str]
    basis: Basis
    ambient: Ambient
    languages: tuple[Given[str], ...]
    paper: Given[str]
    shift: Given[Quantity]
    readings: tuple[Given[Quantity], ...]
    contacts: tuple[Contact, ...]
    document: DocumentControl
    where: Where


def read_site(node: Node | None, faults: Faults, places: Iterable[str]) -> Site:
    """The site record; ``places`` are those of the rules table."""
    fields = Fields(node, faults, "site.yaml", Where("site.yaml", 1))
    short = fields.text("short")
    if short.value and not re.fullmatch(r"[A-Z]{2,6}", short.value):
        faults.add(short.where, f"short {short.value!r}", "two to six capital letters")
    site = Site(
        name=fields.text("name"),
        short=short,
        invented=fields.yes("invented"),
        place=fields.choice("place", sorted(places)),
        basis=_basis(fields.inner("basis", "basis")),
        ambient=_ambient(fields.inner("ambient", "ambient")),
        languages=fields.choices("languages", LANGUAGES, required=True),
        paper=fields.choice("paper", PAPERS),
        shift=fields.quantity("shift", "h", above=True),
        readings=_readings(fields),
        contacts=tuple(_contact(part) for part in fields.records("contacts", "contact")),
        document=_document(fields.inner("document", "document")),
        where=fields.where,
    )
    fields.close()
    return site


def _basis(fields: Fields) -> Basis:
    basis = Basis(
        lel=fields.choice("lel", LEL_BASES),
        lel_reason=fields.text("lel-reason"),
        reference_temperature=fields.quantity("reference-temperature", "°C", least=-50),
        reference_pressure=fields.quantity("reference-pressure", "kPa", above=True),
        limits=fields.choices("limits", LIMIT_LISTS, required=True),
    )
    fields.close()
    return basis


def _ambient(fields: Fields) -> Ambient:
    ambient = Ambient(
        altitude=fields.maybe_quantity("altitude", "m", least=-500),
        pressure=fields.maybe_quantity("pressure", "kPa", above=True),
        temperature=fields.quantity("temperature", "°C", least=-60),
    )
    if fields.usable and (ambient.altitude is None) == (ambient.pressure is None):
        found = "neither altitude nor pressure" if ambient.altitude is None else "both altitude and pressure"
        fields.faults.add(fields.where, f"ambient has {found}", "exactly one of altitude and pressure")
    fields.close()
    return ambient


def _readings(fields: Fields) -> tuple[Given[Quantity], ...]:
    before = len(fields.faults.problems)
    made = tuple(
        quantity_of(s, ("%LEL",), fields.faults, "readings", above=True)
        for s in fields.scalars("readings", required=True)
    )
    sound = len(fields.faults.problems) == before
    for earlier, later in pairwise(made):
        if sound and later.value <= earlier.value:
            fields.faults.add(later.where, f"reading {later.text!r} after {earlier.text!r}", "rising readings")
    return made


def _contact(fields: Fields) -> Contact:
    contact = Contact(role=fields.text("role"), name=fields.text("name"), call=fields.text("call"))
    fields.close()
    return contact


def _document(fields: Fields) -> DocumentControl:
    made = DocumentControl(
        title=fields.text("title"),
        owner=fields.text("owner"),
        reviewed=fields.day("reviewed"),
        review_every=interval_of(fields.text("review-every"), fields.faults, use_days=False),
        cards_valid_for=interval_of(fields.text("cards-valid-for"), fields.faults, use_days=False),
    )
    fields.close()
    return made
