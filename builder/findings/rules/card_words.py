"""What cards, pages and procedures print of other places or cannot print, and what they leave out of what they show."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.wording import keys
from builder.program.areas import Area
from builder.program.cards import CardSpec
from builder.program.keys.families import FAMILIES, SETPOINT_TRUE
from builder.program.program import Program

OF_AREAS = frozenset(family.form.partition(".")[0] for family in FAMILIES if family.form.split(".")[1:2] == ["<area>"])
"""First words of keys that name an area next."""


@rule(Severity.WARN)
def figure_of_another_area(program: Program) -> Iterator[Finding]:
    """A figure of one area in the text of a card or procedure that is for another.

    An alarm, a wait or a limit that holds elsewhere is read as if it held here: most often a text that was copied
    with its card. Asked of cards with an area, and of procedures that name theirs. Source: common practice, no
    published source.
    """
    # A warn for each such figure
    meant = [(one.where.file, f"card:{one.id}", {one.area.value}) for one in program.cards.values() if one.area]
    of_areas = ((one, {given.value for given in one.areas}) for one in program.procedures.values())
    meant += [(one.where.file, f"procedure:{one.id}", areas) for one, areas in of_areas if areas]
    quoted = grouped(program.quoted, lambda given: given.where.file)
    for file, subject, areas in meant:
        for given in quoted.get(file, ()):
            start, named, *_ = (*given.value.split("."), "")
            if start in OF_AREAS and named in program.areas and named not in areas:
                here = " and ".join(sorted(program.areas[area].name for area in areas))
                yield figure_of_another_area.found(
                    message=f"{given.text} holds in {program.areas[named].name}, and stands where {here} is meant.",
                    where=given.where,
                    mend="name the figure of the place the text is for",
                    subject=subject,
                )


@rule(Severity.WARN)
def figure_not_known(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A figure in a text that is not there on this day, as the due day of a check that failed: `not known` is printed.

    Records make such figures and take them away again, so the site is built all the same. Source: common practice, no
    published source.
    """
    # A warn for each such figure
    texts = {one.where.file: f"procedure:{one.id}" for one in program.procedures.values()}
    texts |= {one.where.file: f"page:{one.id}" for one in program.pages.values()}
    for given in program.quoted:
        if given.value not in ledger:
            yield figure_not_known.found(
                message=f"{given.text}: what is recorded gives no such figure now, so “not known” stands there.",
                where=given.where,
                mend="see the page of the unit or cylinder for what is lacking; or take the figure out of the text",
                subject=texts.get(given.where.file, "page:home"),
            )


@rule(Severity.WARN)
def card_of_another_area(program: Program) -> Iterator[Finding]:
    """A card whose id begins with the id of another area than its own, or that has the title of another area's card.

    Its alarms and waits are those of its ``area``, whatever its title says: most often a card that was copied, and
    whose area stayed. Source: common practice, no published source.
    """
    titled: dict[tuple[str, str], str] = {}
    for card in program.cards.values():
        if card.area is None:
            continue
        own = program.areas[card.area.value]
        meant = max((area for area in program.areas if f"{card.id}-".startswith(f"{area}-")), key=len, default=own.id)
        titles = titled.setdefault((card.audience, card.title.casefold()), own.id)
        for other in dict.fromkeys(named for named in (meant, titles) if named != own.id):
            yield card_of_another_area.found(
                message=f"{card.title}: card {card.id} prints what holds in {own.name}, and by its name it is one of "
                f"{program.areas[other].name}.",
                where=card.area.where,
                mend="name the area that the card is for; or give the card an id and a title of its own",
                subject=f"card:{card.id}",
            )


@rule(Severity.WARN)
def block_of_another_detector(program: Program, card: CardSpec) -> Iterator[Finding]:
    """A block of a card that names a model which its reader does not carry there: its times are those of another unit.

    Or a block `bump` of a bottle that no detector in use which its reader may carry is checked with: what they must
    show is what another gas makes them show. Source: common practice, no published source.
    """
    area = program.areas[card.area.value] if card.area else None
    carried = {given.value for given in area.detectors} if area else set()
    mine = {card.model.value} if card.model else carried
    for block in card.blocks:
        if block.model is not None and mine and block.model.value not in mine:
            yield block_of_another_detector.found(
                message=f"{card.title}: its block {block.name} is of {program.models[block.model.value].name}, "
                "which whoever carries this card does not carry.",
                where=block.model.where,
                mend=f"name {' or '.join(sorted(mine))}",
            )
        bottle = block.cylinder if block.name == "bump" and card.audience != "contractor" else None
        units = [one for one in program.units.values() if one.in_use and (one.model.value in mine or not mine)]
        if bottle is not None and units and not any(one.checked_with(bottle.value) for one in units):
            yield block_of_another_detector.found(
                message=f"{card.title}: its block bump is of cylinder {bottle.value}, with which none of the detectors "
                "that its reader may carry is checked.",
                where=bottle.where,
                mend="name the cylinder of those units, or give it to them in the inventory",
            )


@rule(Severity.WARN)
def correction_left_out(program: Program, ledger: Ledger, card: CardSpec) -> Iterator[Finding]:
    """Corrections on a card without the hazard of which most is there: whoever reads them believes too little.

    Asked of the blocks `corrections` and `chart` that name their gases; those of a card count together. Source:
    common practice, no published source: a gas that is not known is taken for the one that reads lowest.
    """
    # A warn for each card, with the worst gas that it leaves out
    blocks = [block for block in card.blocks if block.name in ("corrections", "chart")]
    shown = {given.value for block in blocks for given in block.gases}
    if card.area is None or not shown or not all(block.gases for block in blocks):
        return
    there = _there(ledger, program.areas[card.area.value])
    most = max((there[gas].number for gas in shown if gas in there), default=None)
    worst = max((gas for gas in there if gas not in shown), key=lambda gas: there[gas].number, default=None)
    if most is not None and worst is not None and there[worst].number > most:
        yield correction_left_out.found(
            message=f"{card.title}: its corrections leave out {program.gases[worst].name}, of which most is there at "
            f"one reading: {there[worst].printed} when the first alarm sounds.",
            where=blocks[0].where,
            figures=keys(there[worst]),
            mend=f"add {worst} to gases, or leave gases out: then it prints all hazards",
        )


def _there(ledger: Ledger, area: Area) -> dict[str, Figure]:
    """What is really there of each hazard when the first flammable alarm sounds, as a share of its explosive limit."""
    gases = (hazard.gas.value for hazard in area.hazards)
    found = {gas: ledger.get(SETPOINT_TRUE(area=area.id, gas=gas, alarm="low")) for gas in gases}
    return {gas: figure for gas, figure in found.items() if figure is not None}
