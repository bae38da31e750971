"""Content documents to a Program: every reader in order, then the checks that need several files at once."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from itertools import chain, pairwise

from builder.base.errors import ContentError, Problem
from builder.base.where import Given, Where
from builder.load.content import Documents
from builder.load.listing import INVENTORIES
from builder.program.across import check_across
from builder.program.answered_for import read_acceptance, read_confirmation
from builder.program.areas import Area
from builder.program.asking import Watch
from builder.program.books import BookSpec
from builder.program.calendar import read_calendar
from builder.program.card_copies import Copies
from builder.program.cards import read_card
from builder.program.checks import AskedInterval, Check, read_check
from builder.program.column_maps import Maps, read_maps
from builder.program.columns import inventory_nodes, unread_sheets
from builder.program.configuration_readback import read_settings
from builder.program.cylinders import read_cylinder
from builder.program.declared import record
from builder.program.faults import NOWHERE, Faults
from builder.program.gases import read_gas
from builder.program.inventory import Unit, read_inventory, require_states
from builder.program.keys.unknown import IDS, named, unknown_keys
from builder.program.labels import read_label_sheet
from builder.program.limit_lists import BUILT, LIMIT_LIST, read_limit_lists
from builder.program.localized import LocalizedText, languages_of
from builder.program.models import Model, read_model
from builder.program.movements import read_movements
from builder.program.own_templates import read_templates
from builder.program.paper_settings import FormSetting, SheetSetting, read_forms
from builder.program.plan import FILE as PLAN
from builder.program.plan import read_plan
from builder.program.prices import Prices, read_prices
from builder.program.program import Program
from builder.program.prose import BUILT_PAGES, read_procedure
from builder.program.reading import by_id, each, maybe_each, whole_file
from builder.program.record_rows import Displays, read_records
from builder.program.records import read_person
from builder.program.retention import read_retention
from builder.program.revisions import Revision, read_revision
from builder.program.scales import check_scales
from builder.program.sensors import CHANNEL, FLAMMABLE, OXYGEN, VAPOUR, read_sensor
from builder.program.setpoints import read_setpoints
from builder.program.site import read_site
from builder.program.station_log import read_station_log
from builder.program.stations import Station
from builder.program.translations import read_translations
from builder.reference.library import Library

DEFINES = {
    "gases.yaml": ("gas", CHANNEL),
    "sensors.yaml": ("sensor",),
    "models.yaml": ("model", "part"),
    "areas.yaml": ("area",),
    "cylinders.yaml": ("cylinder",),
    "checks.yaml": ("check",),
    **dict.fromkeys(INVENTORIES, ("unit",)),
    "procedures": ("procedure",),
    "pages": ("page",),
    "cards": ("card",),
    "lists": (LIMIT_LIST,),
}
"""What references go astray when a file, or one of a folder, cannot be read."""


def read_program(
    documents: Documents, problems: Iterable[Problem], library: Library, watch: Watch | None = None
) -> Program:
    """The program of a content folder.

    :param problems: faults met while loading; they are raised together with those found here.
    :param watch: told of every key that a reader asks for.
    :raises ContentError: with every fault of every file.
    """
    noted = tuple(problems)
    faults = Faults(noted)
    faults.watch = watch
    try:
        return _program(documents, noted, faults, library)
    except ContentError as error:
        raise ContentError([*error.problems, *_unknown_keys(faults, library)]) from None


def _unknown_keys(faults: Faults, library: Library) -> Iterator[Problem]:
    """Keys in prose that no figure can have; of a site without faults the ledger tells them, and the absent ones."""
    gases = faults.names("gas")
    if gases is not None:
        gases |= {entry.formula.lower() for entry in library.gases()}
    return unknown_keys(
        faults.quoted, {kind: faults.names(kind) for kind in IDS} | named(gases, faults.names(LIMIT_LIST))
    )


def _program(documents: Documents, noted: tuple[Problem, ...], faults: Faults, library: Library) -> Program:
    files = documents.structured

    root = files.get
    faults.pictures = documents.pictures
    faults.languages = languages_of(root("site.yaml"))
    translations = read_translations(documents.folder("translations"), faults)
    faults.said = {
        language: {english: one.says for english, one in texts.items()}
        for language, texts in translations.items()
        if language != faults.languages[0]
    }

    for name in BUILT_PAGES:
        if name not in ("home", "cautions"):
            faults.define("page", Given(name, BUILT, name))
    gases = by_id(each(files, faults, "gases", "gas", partial(read_gas, library=library)))
    for name in dict.fromkeys((FLAMMABLE, OXYGEN, VAPOUR, *faults.defined("gas"))):
        faults.define(CHANNEL, Given(name, BUILT, name))
    if not faults.defined("gas"):
        faults.overlook(CHANNEL)
    brought = tuple(gas.entry for gas in gases.values() if gas.own is not None)
    own = read_limit_lists(documents.folder("lists").values(), gases, library, faults)
    maps = read_maps(root("maps.yaml"), faults)
    tables_can_be_read = maps.sound and not any(documents.plain(problem.where.file) == "maps.yaml" for problem in noted)
    own_templates = read_templates(documents, faults)
    people = maybe_each(files, faults, "people", "person", read_person)
    program = Program(
        site=read_site(root("site.yaml"), faults),
        gases=gases,
        sensors=by_id(each(files, faults, "sensors", "sensor", read_sensor)),
        models=by_id(each(files, faults, "models", "model", read_model)),
        areas=by_id(each(files, faults, "areas", "area", record(Area))),
        setpoints=(beside := read_setpoints(root("setpoints.yaml"), faults)).setpoints,
        cylinders=by_id(each(files, faults, "cylinders", "cylinder", read_cylinder)),
        checks=by_id(each(files, faults, "checks", "check", read_check)),
        units=_inventory(documents, maps, faults, tables=tables_can_be_read),
        procedures=by_id(read_procedure(doc, faults) for doc in documents.documents("procedures")),
        pages=own_templates.read_pages(documents.documents("pages")),
        cards=by_id(read_card(node, faults, own_templates) for node in documents.folder("cards").values()),
        revisions=_revisions([read_revision(n, faults) for n in documents.folder("revisions").values()], faults),
        library=replace(library, own=own, brought=brought),
        people=None if people is None else by_id(people),
        calendar=whole_file(files, faults, "calendar.yaml", read_calendar),
        plan=read_plan(documents.drawings.get(PLAN), frozenset(faults.defined("area")), faults),
        books=maybe_each(files, faults, "books", "book", record(BookSpec)),
        labels=maybe_each(files, faults, "sheets", "label sheet", read_label_sheet, "labels") or (),
        sheets=whole_file(files, faults, "sheets.yaml", record(SheetSetting)) or SheetSetting(),
        forms=whole_file(files, faults, "forms.yaml", read_forms) or FormSetting(),
        accepted=maybe_each(files, faults, "accepted", "accepted finding", read_acceptance) or (),
        confirmations=maybe_each(files, faults, "confirm", "value to confirm", read_confirmation) or (),
        unentered=faults.unentered,
        copies=maybe_each(files, faults, "copies", "copies", record(Copies)) or (),
        prices=whole_file(files, faults, "prices.yaml", read_prices) or Prices(),
        stations=by_id(maybe_each(files, faults, "stations", "station", record(Station)) or ()),
        retention=maybe_each(files, faults, "retention", "retention", read_retention) or (),
        setpoint_review=beside.review,
        wanted_settings=beside.wanted,
        overrides=documents.overrides,
        extended=documents.extended,
        settings_access=beside.access,
        translations=translations,
        localized=tuple(text for text in faults.localized if isinstance(text, LocalizedText)),
        quoted=tuple(faults.quoted),
        literals=tuple(sorted(set(faults.literals), key=lambda literal: (literal.where, literal.text, literal.reason))),
    )
    program = replace(program, checks=with_parts(program.checks, program.models))
    of_tables: list[Problem] = []
    if tables_can_be_read:
        program, of_tables = _with_tables(program, documents, maps, faults)
    if all(document.front is not None for document in documents.documents("pages")):
        _require_pages(program, faults)
    _forgive_unread_files(documents, noted, faults)
    _settle(faults, of_tables)
    check_across(program, faults)
    check_scales(program, faults)
    faults.problems += of_tables
    faults.settle()
    return program


def with_parts(checks: Mapping[str, Check], models: Mapping[str, Model]) -> dict[str, Check]:
    """The checks, each that is about a part with the intervals that models state for it.

    The manufacturer asks for those, of that model alone; the strictest of them and the check's own holds.
    """
    return {
        name: replace(check, intervals=(*check.intervals, *_stated_of_parts(check, models)))
        for name, check in checks.items()
    }


def _stated_of_parts(check: Check, models: Mapping[str, Model]) -> tuple[AskedInterval, ...]:
    part = check.part.value if check.part else ""
    return tuple(
        AskedInterval(
            interval=model.parts[part],
            by=Given("manufacturer", model.parts[part].where, ""),
            areas=(),
            models=(model.id,),
            reason=Given(f"how long it lasts in {model.name}", model.parts[part].where, ""),
            source=model.manual,
        )
        for model in models.values()
        if part in model.parts
    )


def _settle(faults: Faults, of_tables: list[Problem]) -> None:
    """Raise what was found so far together with the faults of tables, which alone hinder no further check."""
    try:
        faults.settle()
    except ContentError as error:
        raise ContentError([*error.problems, *of_tables]) from None


def _inventory(documents: Documents, maps: Maps, faults: Faults, *, tables: bool) -> dict[str, Unit]:
    """The units from whichever file has them; with a faulty map a table is not read, and no unit is missed."""
    node = documents.structured.get("inventory.yaml")
    table = next((found for name in INVENTORIES if (found := documents.tables.get(name))), None)
    if node is None and table is not None:
        node = inventory_nodes(table, maps.inventory, faults) if tables else None
        if node is None:
            faults.overlook("unit")
            return {}
    return read_inventory(node, faults)


def _with_tables(program: Program, documents: Documents, maps: Maps, faults: Faults) -> tuple[Program, list[Problem]]:
    """The program with its records and what was read back, and their faults.

    How a row is read hangs on units and models.
    """
    before = len(faults.problems)
    displays = Displays(program.units, program.models, program.sensors)
    whole = replace(
        program,
        records=read_records(documents.tables_in("records"), maps.records, displays, faults),
        settings=read_settings(documents.tables_in("readback"), maps.readback, displays, faults),
        movements=read_movements(documents.tables_in("movements"), maps.movements, faults),
        station_log=read_station_log(documents.tables_in("station-log"), maps.station_log, faults),
        idle_maps=tuple(maps.idle(documents.tables)),
    )
    if len(faults.problems) == before:  # else a workbook may be one that cannot be opened
        parts = (unread_sheets(documents.tables_in(name), several) for name, several in maps.by_folder.items())
        whole = replace(whole, unread_sheets=tuple(chain.from_iterable(parts)))
    require_states(whole.units.values(), {row.unit.value: row for row in whole.movements}, faults)
    found = faults.problems[before:]
    del faults.problems[before:]
    return whole, found


def _forgive_unread_files(documents: Documents, noted: tuple[Problem, ...], faults: Faults) -> None:
    """A file that could not be read was noted while loading; say nothing of what it would have held."""
    read = {*documents.structured, *documents.prose, *documents.tables, *documents.drawings}
    unread = {problem.where.file for problem in noted} - read
    astray = {documents.plain(file) for file in unread}
    unknown = {name for name, document in documents.prose.items() if document.front is None}
    for name in sorted(astray | unknown):
        for kind in DEFINES.get(name.partition("/")[0], ()):
            faults.overlook(kind)
    faults.problems = [
        problem
        for problem in faults.problems
        if problem in noted or not (problem.where.file in unread or (unread and problem.where == NOWHERE))
    ]


def _revisions(revisions: list[Revision], faults: Faults) -> tuple[Revision, ...]:
    ordered = tuple(sorted(revisions, key=lambda revision: revision.number.value))
    for earlier, later in pairwise(ordered):
        if earlier.number.value == later.number.value:
            faults.twice(later.where, f"revision {later.number.value} stands twice", "each number once")
        if later.effective.value < earlier.effective.value:
            found = f"revision {later.number.value} is effective before revision {earlier.number.value}"
            faults.add(later.effective.where, found, "dates that rise with the numbers")
    return ordered


def _require_pages(program: Program, faults: Faults) -> None:
    for name in ("home", "cautions"):
        if name not in program.pages:
            faults.unknown(Where(f"pages/{name}.md", 1), f"no page with id {name!r}", f"a prose page {name}")
