"""The site: what its figures rest on, contacts, document control, and what it chose of languages, papers and looks."""

import re
from collections.abc import Mapping
from datetime import date
from itertools import pairwise

from builder.base.nearest import nearest
from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.carry import ROLES
from builder.program.declared import asked, here, made, record
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
from builder.reference.rules import places

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

    lel: Given[str] = asked(Fields.choice, LEL_BASES)
    """Id of the table that defines 100 %LEL."""
    lel_reason: Given[str] = asked(Fields.text)
    """Why that one."""
    reference_temperature: Given[Quantity] = asked(Fields.quantity, "°C", least=-50)
    """Temperature of the ppm to mg/m3 conversion of limits."""
    reference_pressure: Given[Quantity] = asked(Fields.quantity, "kPa", above=True)
    """Pressure of the same."""
    limits: tuple[Given[str], ...] = asked(Fields.references, LIMIT_LIST, required=True)
    """Limit lists printed, in the site's order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ambient:
    """Where the site is: exactly one of altitude and pressure is given."""

    altitude: Given[Quantity] | None = asked(Fields.maybe_quantity, "m", least=-500)
    pressure: Given[Quantity] | None = asked(Fields.maybe_quantity, "kPa", above=True)
    temperature: Given[Quantity] = asked(Fields.quantity, "°C", least=-60)
    humidity: Given[Quantity] | None = asked(Fields.maybe_quantity, "%")
    """Relative humidity, where the site states it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Whom to call."""

    role: Given[str] = asked(localized_text)
    name: Given[str] = asked(localized_text)
    call: Given[str] = asked(localized_text)
    outside: Given[str] | None = asked(maybe_localized_text)
    """How to reach them from a telephone that is not the site's."""
    areas: tuple[Given[str], ...] = asked(Fields.references, "area")
    """Areas that it is for; empty for all of them."""
    roles: tuple[Given[str], ...] = asked(Fields.choices, (*ROLES, "calibrator"))
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

    title: Given[str] = asked(Fields.text)
    owner: Given[str] = asked(Fields.text)
    reviewed: Given[date] = asked(Fields.day)
    review_every: Given[Interval] = asked(Fields.interval)
    cards_valid_for: Given[Interval] = asked(Fields.interval)
    different_persons: bool = asked(Fields.yes)
    """Whether preparing, reviewing and approving a revision takes three persons."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """That somebody read all texts of a language and answers for them."""

    by: Given[str] = asked(Fields.text)
    on: Given[date] = asked(Fields.day)
    texts: Given[str] = asked(Fields.text)
    """Code of the builder's texts as they were read, as the finding tells it."""


def _short(fields: Fields) -> Given[str]:
    short = fields.text("short")
    if short.value and not re.fullmatch(r"[A-Z]{2,6}", short.value):
        fields.faults.id_form(short.where, f"short {short.value!r}", "two to six capital letters")
    fields.maybe_text("extends")  # asked for by who reads the files
    return short


def _ambient(fields: Fields) -> Ambient:
    ambient = record(Ambient)(fields)
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
    found = {tag: fields.maybe_part(tag, record(Checked), f"translations-checked {tag}") for tag in tags}
    return {tag: checked for tag, checked in found.items() if checked}


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


def _names_public(fields: Fields) -> bool:
    return fields.maybe_part("public", lambda public: public.yes("people")) or False


def _look(fields: Fields) -> Look:
    return fields.maybe_part("look", read_look) or Look()


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Everything of ``site.yaml``."""

    short: Given[str] = made(_short)
    gas_lead_time: Given[Interval] | None = asked(Fields.maybe_interval)
    """How long an order of check gas takes, where the site says so."""
    settings_read_every: Given[Interval] | None = asked(Fields.maybe_interval)
    """How old a reading of a unit's settings may be; ``None`` leaves it to the builder."""
    name: Given[str] = asked(Fields.text)
    invented: bool = asked(Fields.yes)
    place: Given[str] = made(lambda part: part.choice("place", sorted(places())))
    basis: SiteBasis = asked(Fields.part, record(SiteBasis))
    ambient: Ambient = asked(Fields.part, _ambient)
    languages: tuple[Given[str], ...] = made(_languages)
    translations_checked: Mapping[str, Checked] = made(
        lambda part: part.maybe_part("translations-checked", _checked) or {}
    )
    """By language, who read the builder's own texts and the site's translations, and when."""
    pages_in: tuple[Given[str], ...] = made(_pages_in)
    """Languages beside the first in which workers can read the pages that are made for them."""
    paper: Given[str] = asked(Fields.choice, PAPERS)
    shift: Given[Quantity] = asked(Fields.quantity, "h", above=True)
    long_shift: Given[str] | None = made(_long_shift)
    """By what limits are lowered for long turns; ``None`` where the site leaves them as they are."""
    readings: tuple[Given[Quantity], ...] = made(_readings)
    contacts: tuple[Contact, ...] = asked(Fields.parts, "contact", record(Contact))
    document: DocumentControl = asked(Fields.part, record(DocumentControl))
    entry: WorkValues | None = asked(Fields.maybe_part, read_entry)
    hot_work: WorkValues | None = asked(Fields.maybe_part, read_hot_work)
    look: Look = made(_look)
    """Colour and logo, where the site has its own."""
    # Names stay off the pages until somebody decides otherwise: a site may be read by anybody
    names_public: bool = made(_names_public)
    """Whether pages tell names of people and holders; else they are told by id, or not at all."""
    where: Where = here()
    published_at: Given[str] | None = made(_address)
    """Address of the published site's top folder; printed in square codes on cards."""
    to_confirm: Given[int] | None = asked(Fields.maybe_whole, least=1)
    """How many entries of ``confirm.yaml`` came with the starter that the content was begun from."""


def read_site(node: Node | None, faults: Faults) -> Site:
    """The site record."""
    return Fields(node, faults, "site.yaml", Where("site.yaml", 1)).wholly(record(Site))
