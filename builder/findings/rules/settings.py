"""Settings read back from units, held against what is ordered and what a model can."""

from collections.abc import Iterator, Mapping

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.figures.figure import day_text
from builder.figures.formulas import clock
from builder.figures.ledger import Ledger
from builder.figures.settings_read import SettingDifference, model_says, same_setting
from builder.figures.topics.readback import age_of, last_read
from builder.findings.record_findings import first_and_count
from builder.findings.rule import Caused, rule
from builder.findings.wording import count_in_words, keys, short_list
from builder.program.configuration_readback import SETTINGS
from builder.program.keys.families import SITE_SETTINGS_READ, SITE_SETTINGS_READ_EVERY
from builder.program.models import Model
from builder.program.program import Program
from builder.program.records import ReadBackSetting, Record
from builder.program.settings_access import names_code


@rule(Severity.WARN)
def setting_against_model(program: Program, model: Model) -> Iterator[Finding]:
    """The site wants a setting that the description of the model has otherwise: one of the two is wrong.

    Compared are latching, the time an alarm waits, the base of averages, the log interval and the relay. Source:
    common practice, no published source; the description is taken from the manual.
    """
    for name, wanted in program.wanted_of(model.id).items():
        said = model_says(model, name)
        if said is not None and not same_setting(name, wanted.value, said):
            yield setting_against_model.found(
                message=f"{model.name}: {name} is to be set to {wanted.text}, but its description says {said}. "
                "Figures are made of the description, and units are held against the setting.",
                where=wanted.where,
                mend="say the same in both, or leave the setting out: units are then held against the description",
            )


@rule(Severity.NOTE, about="page:detectors")
def setting_not_known(program: Program) -> Iterator[Finding]:
    """Settings read back under names that this handbook does not know: they are kept and shown, and not judged.

    Source: common practice, no published source.
    """
    others = (setting for setting in program.settings if setting.name.value not in SETTINGS)
    unknown = (setting for setting in others if not names_code(setting.name.value))
    for name, rows in grouped(unknown, lambda setting: setting.name.value).items():
        units = dict.fromkeys(row.unit.value for row in rows)
        yield setting_not_known.found(
            message=f"The setting {name!r} was read back from {count_in_words(len(units), 'unit')} and is not judged: "
            "this handbook does not know it.",
            where=rows[0].where,
            mend="judge it by the instrument's manual; or name in maps.yaml the setting that it is here",
            lines=tuple(row.where for row in rows),
        )


Key = tuple[str, str, str]
MEASURED = ("clock",)
"""Differs at each reading without anybody's doing."""


@rule(Severity.WARN)
def setting_not_ordered(program: Program) -> Iterator[Finding]:
    """A setting was changed and nobody knows by whose order, or was found changed and no change is on record.

    Source: common practice, no published source; ISO 9001:2015, 7.1.5.2 asks that adjustments which would void a
    measurement are guarded.
    """
    changes = [record for record in program.records if record.kind.value == "setting-change"]
    told, mend = "no order is named for it.", "enter who or what asked for the change under order, or set it back"
    for record in (one for one in changes if one.order is None):
        yield setting_not_ordered.of_row(program, record, told, mend=mend)
    yield from first_and_count(_unrecorded(program, changes))


def _unrecorded(program: Program, changes: list[Record]) -> Iterator[Finding]:
    known: dict[Key, list[Record]] = {}
    for record in changes:
        if record.setting:
            sensor = record.sensor.value if record.sensor else ""
            known.setdefault((record.unit.value, sensor, record.setting.value), []).append(record)
    before: dict[Key, ReadBackSetting] = {}
    for setting in sorted(program.settings, key=lambda one: one.read_on.value):
        key = (setting.unit.value, setting.sensor.value if setting.sensor else "", setting.name.value)
        earlier = before.get(key)
        before[key] = setting
        if earlier is None or setting.name.value in MEASURED or earlier.value.value == setting.value.value:
            continue
        if not any(earlier.read_on.value <= row.day <= setting.read_on.value for row in known.get(key, ())):
            of = f" of {setting.sensor.value}" if setting.sensor else ""
            yield setting_not_ordered.found(
                message=f"{setting.unit.value}: {setting.name.value}{of} was {earlier.value.text} on "
                f"{day_text(earlier.read_on.value)} and {setting.value.text} on {day_text(setting.read_on.value)}, "
                "and no change of it is on record.",
                where=setting.where,
                mend="find out who changed it and why; enter the change with its order, or set it back",
                subject=f"unit:{setting.unit.value}",
                lines=(earlier.where, setting.where),
            )


@rule(Severity.NOTE, about="page:detectors")
def settings_missing(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Units in use of which no settings were read back, where the site does read settings back.

    Source: common practice; only the instrument's own settings prove that card and instrument agree.
    """
    # One note for all of them
    read = {setting.unit.value for setting in program.settings}
    used = [unit for unit in program.units.values() if unit.in_use]
    share = ledger.get(SITE_SETTINGS_READ())
    missing = [unit for unit in used if unit.id not in read]
    if read and missing:
        yield settings_missing.found(
            message=f"Of {count_in_words(len(used), 'unit')} in use, "
            f"{count_in_words(len(missing), 'unit')} had no settings read "
            f"back: {short_list([unit.id for unit in missing])}. What they are set to is not known."
            + (f" Read back in time: {share.printed} ({share.note})." if share else ""),
            where=missing[0].where,
            figures=keys(share),
            mend="read their settings and add the export to readback/",
            touches=tuple(f"unit:{unit.id}" for unit in missing),
        )


@rule(Severity.WARN, about="page:detectors")
def settings_read_long_ago(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Units in use whose settings were last read back longer ago than the site allows: what they are set to is unknown.

    The age is ``settings-read-every`` of site.yaml, twelve months where it says none. Source: common practice, no
    published source.
    """
    # One warn for all of them
    day, oldest = ledger.today, age_of(program)
    last = last_read(program, day)
    old = [
        unit
        for unit in program.units.values()
        if unit.in_use and unit.id in last and clock.next_due(last[unit.id], oldest) < day
    ]
    if old:
        first = min(last[unit.id] for unit in old)
        yield settings_read_long_ago.found(
            message=f"Settings of {count_in_words(len(old), 'unit')} in use were last read more than {oldest.text} "
            f"ago, the oldest on {day_text(first)}: {short_list([unit.id for unit in old])}. "
            "What they are set to today is not known.",
            where=old[0].where,
            figures=keys(ledger.get(SITE_SETTINGS_READ_EVERY()), ledger.get(SITE_SETTINGS_READ())),
            mend="read their settings anew and add the export to readback/",
            touches=tuple(f"unit:{unit.id}" for unit in old),
        )


@rule(Severity.WARN)
def firmware_differs(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Units of one model that run different firmware, by what was last read back: they may alarm in different ways.

    Source: common practice, no published source; the manual that this handbook follows is that of one firmware.
    """
    # A warn for each model
    latest: dict[str, ReadBackSetting] = {}
    for setting in sorted(program.settings, key=lambda one: one.read_on.value):
        unit = program.units.get(setting.unit.value)
        if setting.name.value == "firmware" and setting.read_on.value <= ledger.today and unit and unit.checked:
            latest[unit.id] = setting
    for model in program.models.values():
        read = {unit: one for unit, one in latest.items() if program.units[unit].model.value == model.id}
        versions = grouped(read, lambda unit: latest[unit].value.value)
        if len(versions) > 1:
            least = min(versions.values(), key=len)
            told = "; ".join(f"{version} on {short_list(units)}" for version, units in versions.items())
            yield firmware_differs.found(
                message=f"{model.name}: units run different firmware: {told}. What one of them does at an alarm need "
                "not be so of the others.",
                where=read[least[0]].where,
                mend="ask the maker what differs; bring all to one, then read back and bump test each",
                subject=f"model:{model.id}",
                touches=tuple(f"unit:{unit}" for unit in read),
                lines=tuple(one.where for one in read.values()),
            )


@rule(Severity.STOP, Severity.WARN, counted="unit")
def settings_differ(program: Program, settings_off: Mapping[str, tuple[SettingDifference, ...]]) -> Iterator[Caused]:
    """A setting read back from an instrument, or changed on record since, that differs from this handbook.

    Source: common practice; only the instrument's own settings prove that card and instrument agree.
    """
    # A stop where the instrument is set less safely than the handbook says, else a warn; one for all alike
    units = program.units
    checked = (all_off for unit, all_off in settings_off.items() if units[unit].checked)
    differing = (one for all_off in checked for one in all_off)
    for one in differing:
        setting, worse = one.setting, one.worse
        way = "less safe than the handbook" if worse else "not what the handbook says"
        found = settings_differ.found(
            severity=Severity.STOP if worse else Severity.WARN,
            message=f"Unit {setting.unit.value}: {one.name(program)} {one.is_told} on "
            f"{day_text(setting.read_on.value)}, {way}, {one.expected}.",
            where=setting.where,
            figures=keys(*one.figures),
            mend="set the instrument as the handbook says and read it back again",
            subject=f"unit:{setting.unit.value}",
        )
        yield _cause(one), found


def _cause(found: SettingDifference) -> tuple[str, ...]:
    """What units have in common of which one setting was changed in the handbook, or misread, or never set."""
    setting = found.setting
    sensor = setting.sensor.value if setting.sensor else ""
    return setting.name.value, sensor, setting.value.text, found.expected
