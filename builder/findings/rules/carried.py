"""What is carried in an area, and whether the units for it are there."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.states import end_of, is_moved
from builder.findings.rule import rule
from builder.findings.sensor_coverage import ENTRY_SOURCE, carried_words, channels_of, seen_hazards, seers
from builder.findings.wording import short_list
from builder.program.areas import ENTERED, Area
from builder.program.carry import CarriedSet
from builder.program.checks import WITH_GAS
from builder.program.inventory import USED_STATES, Unit
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN

SET_MISSES_CHANNEL_NEEDED = {OXYGEN: "oxygen", FLAMMABLE: "flammable gas"}


@rule(Severity.STOP, Severity.WARN)
def set_misses_channel(program: Program, area: Area) -> Iterator[Finding]:
    """A set that is carried into a confined space without an oxygen sensor, or without one for flammable gas.

    The same where no set is for whoever goes in: a unit of the tester or attendant does not warn inside. One sensor
    for one hazard is not enough there: air that a survey did not expect is why it is tested before and during the
    work. Hot work without a sensor for flammable gas warns. Source: 29 CFR 1910.146 (c)(5)(ii)(C) and (d)(5)(iii),
    which name oxygen, flammable gases and toxic gases in this order; of hot work 29 CFR 1910.252 (a)(2)(vi)(C), none
    in air that may explode; common practice elsewhere.
    """
    # A stop for each such set, a warn where whoever goes in carries none, and for each of hot work
    entered = [given.value for given in area.activities if given.value in ENTERED]
    bare = [one for one in entered if not any(carried.serves(one, "entrant") for carried in area.carry)]
    if bare and area.carry:
        yield set_misses_channel.found(
            severity=Severity.WARN,
            message=f"{area.name}: no set is for whoever goes in ({', '.join(bare)}), so nothing warns inside.",
            where=area.carry[0].where,
            source=ENTRY_SOURCE,
            mend="name the entrant in the roles of a set under carry, or leave its roles out",
        )
    for carried in area.carry:
        measured = channels_of(program, carried)
        lacking = [words for channel, words in SET_MISSES_CHANNEL_NEEDED.items() if channel not in measured]
        if lacking and any(carried.serves(activity) for activity in entered):
            yield set_misses_channel.found(
                severity=Severity.STOP,
                message=f"{area.name}: whoever carries only {carried_words(program, carried)} into this confined "
                f"space has no measurement of {' and of '.join(lacking)}.",
                where=carried.where,
                source=ENTRY_SOURCE,
                mend="carry a detector for it as well: write both in one list under carry",
            )
        elif area.hot_work and carried.serves("hot-work") and FLAMMABLE not in measured:
            yield set_misses_channel.found(
                severity=Severity.WARN,
                message=f"{area.name}: hot work is done there, and whoever carries only "
                f"{carried_words(program, carried)} has no measurement of flammable gas.",
                where=carried.where,
                source="29 CFR 1910.252 (a)(2)(vi)(C)",
                mend="carry a detector for it as well: write both in one list under carry",
            )


@rule(Severity.STOP, Severity.WARN, source="29 CFR 1910.146 (c)(5) and (d)(5): test for the hazards that are expected")
def set_sees_less(program: Program) -> Iterator[Finding]:
    """A hazard of an area that one of the sets carried there does not see, though another detector allowed there does.

    Where no detector at all sees it, ``hazard-unseen`` tells. Source: 29 CFR 1910.146 (c)(5) and (d)(5), which ask
    for tests of the hazards expected.
    """
    # A stop in a confined space, a warn elsewhere; one for each set, with all that it does not see
    unseen = (one for one in seen_hazards(program) if not one.fitted and seers(program, one.area, one.gas))
    for group in grouped(unseen, lambda one: (one.area.id, one.carried.id)).values():
        area, carried = group[0].area, group[0].carried
        entered = any(given.value in ENTERED and carried.serves(given.value) for given in area.activities)
        gases = " and ".join(program.gases[seen.gas].name for seen in group)
        yield set_sees_less.found(
            severity=Severity.STOP if entered else Severity.WARN,
            message=f"{area.name}: whoever carries only {carried_words(program, carried)} does not see {gases}.",
            where=carried.where,
            mend="carry what sees it as well: write both in one list under carry",
            subject=f"area:{area.id}",
        )


@rule(Severity.STOP, Severity.WARN)
def no_unit_for_set(program: Program, area: Area) -> Iterator[Finding]:
    """An area for which no set can be put together from units that are in use.

    Source: common practice, no published source: what is to be carried must be there.
    """
    # A stop where an activity has no set that can be carried, a warn for each other set that cannot
    models = program.models_used
    if not program.units:
        return
    lacking = [one for one in area.carry if _missing(one, models)]
    bare = [
        given.value
        for given in area.activities
        if not any(one.serves(given.value) for one in area.carry if one not in lacking)
    ]
    for carried in lacking:
        names = " and ".join(program.models[model].name for model in _missing(carried, models))
        alone = any(carried.serves(activity) for activity in bare)
        told = "and no other set can be carried there" if alone else "so this set cannot be carried there"
        yield no_unit_for_set.found(
            severity=Severity.STOP if alone else Severity.WARN,
            message=f"{area.name}: {carried_words(program, carried)} must be carried, but no unit of {names} is "
            f"in use, {told}.",
            where=carried.where,
            mend="put a unit of that model into use, or carry what is there",
        )


def _missing(carried: CarriedSet, models: frozenset[str]) -> list[str]:
    return [given.value for given in carried.models if given.value not in models]


UNIT_WITHOUT_PLAN_NEEDED = ("calibration", "bump-test")


@rule(Severity.STOP, Severity.WARN)
def unit_without_plan(program: Program) -> Iterator[Finding]:
    """A unit in use that no check with gas is planned for: nothing would ever show that it still sees gas.

    Source: the makers' manuals and 29 CFR 1910.146 (d)(5) with OSHA's bulletin of 26 Nov 2024 ask for tests with
    gas; how often is for the manual and the site.
    """
    # A stop where no check with gas is asked of units in use, a warn where only one of the two kinds is
    used = (unit for unit in program.units.values() if unit.in_use)
    for lacking, units in grouped(used, lambda unit: _lacking(program, unit)).items():
        if not lacking:
            continue
        none = len(lacking) > len(UNIT_WITHOUT_PLAN_NEEDED) - 1 and not any(
            _planned(program, units[0], kind) for kind in WITH_GAS
        )
        kinds = " and no ".join(kind.replace("-", " ") for kind in lacking)
        yield unit_without_plan.found(
            severity=Severity.STOP if none else Severity.WARN,
            message=f"No {kinds} is planned for units in use: {short_list([unit.id for unit in units])}."
            + (" Nothing would show that they still see gas." if none else ""),
            where=units[0].where,
            source="the instrument's manual; OSHA bulletin on verifying calibration of 26 Nov 2024",
            mend="ask for it in checks.yaml, in the intervals that the manual and the site want",
            touches=tuple(f"unit:{unit.id}" for unit in units),
        )


def _lacking(program: Program, unit: Unit) -> tuple[str, ...]:
    return tuple(kind for kind in UNIT_WITHOUT_PLAN_NEEDED if not _planned(program, unit, kind))


def _planned(program: Program, unit: Unit, kind: str) -> bool:
    """Whether a check of a kind is asked of this unit where it is."""
    return any(check.kind == kind and check.asked_of(unit) for check in program.checks.values())


@rule(Severity.STOP, Severity.WARN, source="the site's own plan")
def unit_in_wrong_area(program: Program, ledger: Ledger, logbook: Logbook, unit: Unit) -> Iterator[Finding]:
    """A unit was taken into use in an area whose sets have no place for its model.

    Source: the site's own plan: what an area's hazards ask for is in its ``carry``.
    """
    # A stop while it is there, a warn for what is over. Of the inventory's own area the content is refused
    stays = logbook.stays[unit.id]
    for stay in stays if is_moved(stays) else ():
        if stay.state not in USED_STATES or not stay.area:
            continue
        area = program.areas[stay.area]
        if unit.model.value not in {given.value for given in area.detectors}:
            allowed = ", ".join(program.models[given.value].name for given in area.detectors)
            yield unit_in_wrong_area.found(
                severity=Severity.STOP if stay is end_of(stays, ledger.today) else Severity.WARN,
                message=f"{unit.id}, a {program.models[unit.model.value].name}, was issued for {area.name}, where "
                f"another model is to be carried: {allowed}.",
                where=stay.where,
                mend="take it back and issue a model that the area asks for; or add the model to the area's carry",
                touches=(f"unit:{unit.id}", f"area:{area.id}"),
            )
