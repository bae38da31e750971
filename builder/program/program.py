"""The program of a site: everything its content says, checked, typed and frozen."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field
from datetime import date

from builder.base.errors import Problem
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.overlay import Override
from builder.program.answered_for import Acceptance, Confirmation
from builder.program.areas import Area
from builder.program.books import BookSpec
from builder.program.calendar import Calendar
from builder.program.card_copies import Copies
from builder.program.cards import CardSpec
from builder.program.checks import Check
from builder.program.cylinders import Cylinder
from builder.program.faults import Literal
from builder.program.gases import Gas
from builder.program.inventory import Unit
from builder.program.keys.family import Known
from builder.program.keys.unknown import IDS, MOVING, fits, named, unknown_keys
from builder.program.labels import LabelSheet
from builder.program.localized import LocalizedText
from builder.program.models import Model, Position
from builder.program.movements import Movement
from builder.program.paper_settings import FormSetting, SheetSetting
from builder.program.plan import Plan
from builder.program.prices import Prices
from builder.program.prose import Procedure, ProsePage
from builder.program.records import Person, ReadBackSetting, Record
from builder.program.retention import Retention
from builder.program.revisions import Revision
from builder.program.sensors import Sensor
from builder.program.setpoints import Setpoint, SetpointReview
from builder.program.settings_access import SettingsAccess
from builder.program.site import Site
from builder.program.station_log import StationRow
from builder.program.stations import Station
from builder.program.test_order import in_test_order
from builder.program.translations import Translations
from builder.program.wanted_settings import WantedSettings
from builder.reference.library import Library
from builder.reference.rules import law_elsewhere, place


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """A site's whole program; mappings are by id, in the author's order."""

    site: Site
    gases: Mapping[str, Gas]
    sensors: Mapping[str, Sensor]
    models: Mapping[str, Model]
    areas: Mapping[str, Area]
    setpoints: tuple[Setpoint, ...]
    cylinders: Mapping[str, Cylinder]
    checks: Mapping[str, Check]
    units: Mapping[str, Unit]
    procedures: Mapping[str, Procedure]
    pages: Mapping[str, ProsePage]
    cards: Mapping[str, CardSpec]
    revisions: tuple[Revision, ...]
    """Rising numbers."""
    localized: tuple[LocalizedText, ...] = ()
    """Every text of the content that may be given in several languages, in the order it was read."""
    translations: Translations = field(default_factory=dict)
    library: Library
    records: tuple[Record, ...] = ()
    """By time; those of one time in the order of their files and rows."""
    people: Mapping[str, Person] | None = None
    """The register, or ``None`` where the site keeps none here."""
    settings: tuple[ReadBackSetting, ...] = ()
    """Read back from instruments, in the order of files and rows."""
    movements: tuple[Movement, ...] = ()
    """Where each unit was and in what state, by time."""
    station_log: tuple[StationRow, ...] = ()
    """What test stations wrote themselves, by time."""
    stations: Mapping[str, Station] = field(default_factory=dict)
    calendar: Calendar | None = None
    labels: tuple[LabelSheet, ...] = ()
    books: tuple[BookSpec, ...] | None = None
    """What is printed as books; ``None`` where the site leaves it to the builder."""
    plan: Plan | None = None
    """The areas as the site draws them."""
    sheets: SheetSetting = field(default_factory=SheetSetting)
    """How cards are set out on sheets of paper."""
    forms: FormSetting = field(default_factory=FormSetting)
    """How blank log sheets are made."""
    accepted: tuple[Acceptance, ...] = ()
    """Guard rails that the site passes on purpose."""
    confirmations: tuple[Confirmation, ...] = ()
    """What came with a starter, and who stands for it."""
    unentered: Mapping[Where, str] = field(default_factory=dict)
    """What came with a starter and still says that it is to be entered: its key, by its line."""
    idle_maps: tuple[Given[str], ...] = ()
    """Files, as paths, of maps of its own that hold for no table there is."""
    unread_sheets: tuple[Given[str], ...] = ()
    """Sheets that no map names though one would fit, with the line of that."""
    copies: tuple[Copies, ...] = ()
    """The register of printed copies."""
    prices: Prices = field(default_factory=Prices)
    """What replacements cost."""
    retention: tuple[Retention, ...] = ()
    """How long the site keeps what."""
    overrides: tuple[Override, ...] = ()
    """What the site, or a folder it extends, says in place of a folder extended in turn."""
    extended: tuple[str, ...] = ()
    """Folders that the site extends, as their lines are told, the nearest first."""
    setpoint_review: SetpointReview | None = None
    """When the setpoints were last reviewed, where the site reviews them on their own."""
    wanted_settings: tuple[WantedSettings, ...] = ()
    """What units are to be set to, beside their alarms."""
    settings_access: SettingsAccess | None = None
    """How the way into the settings is kept, where the site says so."""
    quoted: tuple[Given[str], ...] = ()
    """Keys of figures that prose and cards name, each with its line."""
    literals: tuple[Literal, ...] = ()
    """Numbers that prose types by hand on purpose, in file order, each once."""

    def unknown_keys(self) -> tuple[Problem, ...]:
        """Faults of those keys that no figure can have, for when there is no ledger to ask."""
        return tuple(unknown_keys(self.quoted, self._known()))

    def may_return(self, key: str) -> bool:
        """Whether a figure that is not there on this day is only not there for now, by what is recorded."""
        return fits(key, self._known(), MOVING)

    def _known(self) -> Known:
        ids = {kind: getattr(self, f"{kind}s") for kind in IDS}
        gases = (*self.gases, *(gas.entry.formula.lower() for gas in self.gases.values()))
        return {**ids, **named(gases, self.library.limit_lists())}

    def place_of(self, area: Area) -> Given[str]:
        """The place whose rules hold in an area: its own, else the site's."""
        return area.place or self.site.place

    def limit_lists_in(self, area: Area) -> tuple[str, ...]:
        """Lists of exposure limits that count in an area.

        The site's choice; where the area names another place, the lists of that place, then those of the site's that
        are not the law of other places alone.
        """
        chosen = tuple(given.value for given in self.site.basis.limits)
        if area.place is None or area.place.value == self.site.place.value:
            return chosen
        elsewhere = law_elsewhere(area.place.value)
        return tuple(dict.fromkeys((*place(area.place.value).lists, *(one for one in chosen if one not in elsewhere))))

    @property
    def limit_lists(self) -> tuple[str, ...]:
        """Lists of exposure limits that are printed: the site's choice, then those of the places of its areas."""
        chosen = (given.value for given in self.site.basis.limits)
        brought = (one for area in self.areas.values() for one in self.limit_lists_in(area))
        return tuple(dict.fromkeys((*chosen, *brought)))

    def models_in(self, area: Area) -> tuple[Model, ...]:
        """Models that may be used in an area."""
        return tuple(self.models[given.value] for given in area.detectors)

    @property
    def models_used(self) -> frozenset[str]:
        """Ids of the models of which units are in use."""
        return frozenset(unit.model.value for unit in self.units.values() if unit.in_use)

    def has_part(self, unit: Unit, check: Check) -> bool:
        """Whether a unit's model has the part a check is about, or the check is about no part."""
        return check.part is None or check.part.value in self.models[unit.model.value].parts

    def sensors_in(self, area: Area) -> tuple[Sensor, ...]:
        """Kinds of sensor that allowed models have, each once."""
        return tuple({sensor.id: sensor for _, _, sensor in self.fitted_to(self.models_in(area))}.values())

    def fitted_in(self, area: Area, channel: str) -> tuple[tuple[Model, Position, Sensor], ...]:
        """Every sensor of a channel that an allowed model has."""
        return tuple(one for one in self.fitted_to(self.models_in(area)) if one[2].channel.value == channel)

    def fitted_to(self, models: Iterable[Model]) -> Iterator[tuple[Model, Position, Sensor]]:
        """Every sensor of several models."""
        return ((model, position, sensor) for model in models for position, sensor in self.fitted(model))

    def fitted(self, model: Model) -> tuple[tuple[Position, Sensor], ...]:
        """Positions of a model with the sensors in them."""
        return tuple((position, self.sensors[position.sensor.value]) for position in model.positions)

    def channels_in(self, area: Area) -> tuple[str, ...]:
        """Channels that allowed models measure, in the order air is tested: oxygen, flammable, then the rest."""
        return in_test_order({sensor.channel.value for sensor in self.sensors_in(area)})

    def setpoint(self, area: str, channel: str) -> Setpoint | None:
        """The entry for an area and channel: one that names the area, else one for all areas."""
        same = [entry for entry in self.setpoints if entry.channel.value == channel]
        for entry in same:
            if entry.areas is not None and any(given.value == area for given in entry.areas):
                return entry
        return next((entry for entry in same if entry.areas is None), None)

    def wanted_of(self, model: str) -> Mapping[str, Given[str]]:
        """Settings that units of a model are to have: those of the entry that names it, else of the one for all."""
        named = next((entry for entry in self.wanted_settings if entry.is_for(model)), None)
        general = next((entry for entry in self.wanted_settings if entry.models is None), None)
        found = named or general
        return found.values if found else {}

    def areas_of_unit(self, unit: Unit) -> tuple[Area, ...]:
        """Areas in which a unit is used; one of a pool wherever its model is carried."""
        if unit.area is not None:
            named = {unit.area.value, *(given.value for given in unit.also_in)}
            return tuple(area for area in self.areas.values() if area.id in named)
        model = unit.model.value
        return tuple(area for area in self.areas.values() if any(given.value == model for given in area.detectors))

    def areas_of(self, entry: Setpoint) -> tuple[Area, ...]:
        """Areas an entry really governs."""
        channel = entry.channel.value
        return tuple(area for area in self.areas.values() if self.setpoint(area.id, channel) is entry)

    @property
    def bottles(self) -> tuple[Cylinder, ...]:
        """The cylinders that are here: not those that are kept for their history alone."""
        return tuple(cylinder for cylinder in self.cylinders.values() if cylinder.gone is None)

    def cylinders_named(self) -> Iterator[Given[str]]:
        """Every cylinder that a unit in use, a station or a card names."""
        yield from (given for unit in self.units.values() if unit.in_use for given in unit.cylinders)
        yield from (inlet.cylinder for one in self.stations.values() for inlet in one.inlets if inlet.cylinder)
        yield from (block.cylinder for card in self.cards.values() for block in card.blocks if block.cylinder)

    @property
    def revision(self) -> Revision | None:
        """The latest release, or ``None`` before the first."""
        return self.revisions[-1] if self.revisions else None

    def in_force(self, day: date) -> Revision | None:
        """The latest that holds on a day: the next one may be written down before it does."""
        return next((one for one in reversed(self.revisions) if one.effective.value <= day), None)
