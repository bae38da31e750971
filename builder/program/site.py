"""The site: what its figures rest on, contacts, document control, and what it chose of languages, papers and looks."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import field
from datetime import date
from itertools import pairwise
from types import MappingProxyType

from builder.base.nearest import nearest
from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.carry import ROLES
from builder.program.faults import Faults
from builder.program.interval import Interval
from builder.program.languages import ENGLISH, LANGUAGES
from builder.program.limit_lists import LIMIT_LIST
from builder.program.localized import localized_text, maybe_localized_text
from builder.program.look import Look, read_look
from builder.program.reading import Fields
from builder.program.values import quantity_of
from builder.program.work_values import WorkValues, read_entry, read_hot_work
from builder.reference.library import LEL_BASES

ADDRESS = re.compile(r"(?=.{10,80}$)https://[A-Za-z0-9.-]+(?::\d{1,5})?(?:/[A-Za-z0-9._~-]+)*/?")
"""Longer addresses make a square code that no longer fits a card beside its text."""
PAPERS = ("A4", "Letter")
NOT_LOWERED = "none"
"""Chosen, so that nobody has to ask whether it was forgotten."""
LONG_SHIFTS = ("brief-scala", NOT_LOWERED)
"""Models by which a site may lower limits for shifts over 8 h."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteBasis:
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
    humidity: Given[Quantity] | None
    """Relative humidity, where the site states it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Whom to call."""

    role: Given[str]
    name: Given[str]
    call: Given[str]
    outside: Given[str] | None = None
    """How to reach them from a telephone that is not the site's."""
    areas: tuple[Given[str], ...] = ()
    """Areas that it is for; empty for all of them."""
    roles: tuple[Given[str], ...] = ()
    """Whose cards print it; empty for everybody's."""

    def serves(self, area: str, role: str) -> bool:
        """Whether cards of an area and a role print it; what is for single areas is not for a card that has none."""
        here = not self.areas or any(given.value == area for given in self.areas)
        return here and (not self.roles or any(given.value == role for given in self.roles))

    @property
    def besides(self) -> str:
        """How to reach them from outside, to follow how to call them, in the site's first language; may be empty."""
        return f"; from outside {self.outside.value}" if self.outside else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentControl:
    """The handbook as a controlled document."""

    title: Given[str]
    owner: Given[str]
    reviewed: Given[date]
    review_every: Given[Interval]
    cards_valid_for: Given[Interval]
    different_persons: bool = False
    """Whether preparing, reviewing and approving a revision takes three persons."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """That somebody read all texts of a language and answers for them."""

    by: Given[str]
    on: Given[date]
    texts: Given[str]
    """Code of the builder's texts as they were read, as the finding tells it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Everything of ``site.yaml``."""

    name: Given[str]
    short: Given[str]
    invented: bool
    place: Given[str]
    basis: SiteBasis
    ambient: Ambient
    languages: tuple[Given[str], ...]
    paper: Given[str]
    shift: Given[Quantity]
    long_shift: Given[str] | None
    """By what limits are lowered for long turns; ``None`` where the site leaves them as they are."""
    readings: tuple[Given[Quantity], ...]
    contacts: tuple[Contact, ...]
    document: DocumentControl
    where: Where
    published_at: Given[str] | None = None
    """Address of the published site's top folder; printed in square codes on cards."""
    gas_lead_time: Given[Interval] | None = None
    """How long an order of check gas takes, where the site says so."""
    settings_read_every: Given[Interval] | None = None
    """How old a reading of a unit's settings may be; ``None`` leaves it to the builder."""
    entry: WorkValues | None = None
    hot_work: WorkValues | None = None
    look: Look = field(default_factory=Look)
    """Colour and logo, where the site has its own."""
    names_public: bool = False
    """Whether pages tell names of people and holders; else they are told by id, or not at all."""
    translations_checked: Mapping[str, Checked] = field(default_factory=dict)
    """By language, who read the builder's own texts and the site's translations, and when."""
    pages_in: tuple[Given[str], ...] = ()
    """Languages beside the first in which workers can read the pages that are made for them."""
    to_confirm: Given[int] | None = None
    """How many entries of ``confirm.yaml`` came with the starter that the content was begun from."""


def read_site(
    node: Node | None, faults: Faults, places: Iterable[str], pictures: Mapping[str, bytes] = MappingProxyType({})
) -> Site:
    """The site record; ``places`` are those of the rules table, ``pictures`` what its look can have."""
    fields = Fields(node, faults, "site.yaml", Where("site.yaml", 1))
    short = fields.text("short")
    if short.value and not re.fullmatch(r"[A-Z]{2,6}", short.value):
        faults.id_form(short.where, f"short {short.value!r}", "two to six capital letters")
    fields.maybe_text("extends")  # asked for by who reads the files
    site = Site(
        gas_lead_time=fields.maybe_interval("gas-lead-time"),
        settings_read_every=fields.maybe_interval("settings-read-every"),
        name=fields.text("name"),
        short=short,
        invented=fields.yes("invented"),
        place=fields.choice("place", sorted(places)),
        basis=fields.part("basis", _basis),
        ambient=fields.part("ambient", _ambient),
        languages=_languages(fields),
        translations_checked=fields.maybe_part("translations-checked", _checked) or {},
        pages_in=_pages_in(fields),
        paper=fields.choice("paper", PAPERS),
        shift=fields.quantity("shift", "h", above=True),
        long_shift=_long_shift(fields),
        readings=_readings(fields),
        contacts=fields.parts("contacts", "contact", _contact),
        document=fields.part("document", _document),
        entry=fields.maybe_part("entry", read_entry),
        hot_work=fields.maybe_part("hot-work", read_hot_work),
        look=fields.maybe_part("look", lambda part: read_look(part, pictures)) or Look(),
        # Names stay off the pages until somebody decides otherwise: a site may be read by anybody
        names_public=fields.maybe_part("public", lambda part: part.yes("people")) or False,
        where=fields.where,
        published_at=_address(fields),
        to_confirm=fields.maybe_whole("to-confirm", least=1),
    )
    fields.close()
    return site


def _basis(fields: Fields) -> SiteBasis:
    return SiteBasis(
        lel=fields.choice("lel", LEL_BASES),
        lel_reason=fields.text("lel-reason"),
        reference_temperature=fields.quantity("reference-temperature", "°C", least=-50),
        reference_pressure=fields.quantity("reference-pressure", "kPa", above=True),
        limits=fields.references("limits", LIMIT_LIST, required=True),
    )


def _ambient(fields: Fields) -> Ambient:
    ambient = Ambient(
        altitude=fields.maybe_quantity("altitude", "m", least=-500),
        pressure=fields.maybe_quantity("pressure", "kPa", above=True),
        temperature=fields.quantity("temperature", "°C", least=-60),
        humidity=fields.maybe_quantity("humidity", "%"),
    )
    if ambient.humidity is not None and magnitude(ambient.humidity.value, "%") > 100:  # noqa: PLR2004 - percent
        fields.faults.range(ambient.humidity.where, f"{ambient.humidity.text!r} for 'humidity'", "at most 100 %")
    if fields.usable and (ambient.altitude is None) == (ambient.pressure is None):
        found = "neither altitude nor pressure" if ambient.altitude is None else "both altitude and pressure"
        fields.faults.add(fields.where, f"ambient has {found}", "exactly one of altitude and pressure")
    return ambient


def _languages(fields: Fields) -> tuple[Given[str], ...]:
    made = fields.choices("languages", tuple(LANGUAGES), required=True)
    if made and made[0].value != ENGLISH:
        fields.faults.choice(made[0].where, f"first language {made[0].text!r}", f"{ENGLISH}: the pages are in it")
    fields.faults.refuse_twins(made, "language {!r} stands twice", "each once")
    return made


def _pages_in(fields: Fields) -> tuple[Given[str], ...]:
    """Languages of pages, each once."""
    made = fields.choices("pages-in", fields.faults.languages[1:])
    return tuple({given.value: given for given in made}.values())


def _checked(fields: Fields) -> dict[str, Checked]:
    """Who checked which translation."""
    tags = [tag for tag in LANGUAGES if tag != ENGLISH]
    found = {tag: fields.maybe_part(tag, _checked_by, f"translations-checked {tag}") for tag in tags}
    return {tag: checked for tag, checked in found.items() if checked}


def _checked_by(fields: Fields) -> Checked:
    return Checked(by=fields.text("by"), on=fields.day("on"), texts=fields.text("texts"))


def _address(fields: Fields) -> Given[str] | None:
    given = fields.maybe_text("published-at")
    if given is not None and not ADDRESS.fullmatch(given.value):
        found = f"{given.text!r} for 'published-at'"
        fields.faults.choice(given.where, found, "an https address of at most 80 plain signs, without ? and #")
    return given


def _long_shift(fields: Fields) -> Given[str] | None:
    given = fields.maybe_text("long-shift")
    if given is not None and given.value not in LONG_SHIFTS:
        allowed = ", ".join(LONG_SHIFTS)
        fields.faults.choice(given.where, f"{given.text!r} for 'long-shift'", allowed, nearest(given.text, LONG_SHIFTS))
    return given


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
    return Contact(
        role=localized_text(fields, "role"),
        name=localized_text(fields, "name"),
        call=localized_text(fields, "call"),
        outside=maybe_localized_text(fields, "outside"),
        areas=fields.references("areas", "area"),
        roles=fields.choices("roles", (*ROLES, "calibrator")),
    )


def _document(fields: Fields) -> DocumentControl:
    return DocumentControl(
        title=fields.text("title"),
        owner=fields.text("owner"),
        reviewed=fields.day("reviewed"),
        review_every=fields.interval("review-every"),
        cards_valid_for=fields.interval("cards-valid-for"),
        different_persons=fields.yes("different-persons"),
    )
