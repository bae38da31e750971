"""Tables about check gas: how strong it is beside the alarms, and its times when it is given through a hose."""

from builder.pages.blocks import Block, Inlines
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import REGULATORS, word
from builder.pages.handbook.parts import inlines, para, table
from builder.program.areas import Area
from builder.program.cylinders import Cylinder
from builder.program.keys.families import BUMP_RATIO, HOSE_ALARMS_WITHIN, HOSE_GAS_TIME

NOT_SAID = "not entered: find out before gas is given"


def regulators_of(cylinder: Cylinder) -> Inlines:
    """The regulators kept for a cylinder, and for what each is."""
    return inlines("; or ".join(word(REGULATORS, given.value) for given in cylinder.regulators) or NOT_SAID)


def strength_of(book: HandbookContext, cylinder: Cylinder) -> tuple[Block, ...]:
    """What a bump test should show, as a multiple of the alarms it has to set off."""
    rows = [
        ((book.link("sensor", sensor.id),), inlines(small), book.fig(key))
        for sensor in book.program.sensors.values()
        for alarm, small in (("low", "lowest, for too little"), ("high", "highest, for rising gas"))
        if (key := BUMP_RATIO(cylinder=cylinder.id, sensor=sensor.id, alarm=alarm)) in book.ledger
    ]
    if not rows:
        return ()
    heads = ("Sensor", "Alarm", "Gas ÷ alarm")
    caption = "Its gas beside the alarms of the units bumped with it"
    return table(heads, rows, caption=caption, numeric=(2,)), para(fixed("cylinders.strength"))


def bumped_through_hose(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """How long gas would flow, were a bump test made through the hose of an area."""
    rows = [
        (
            (book.link("model", model.id),),
            (book.link("check", check.id),),
            book.fig(key),
            book.fig(HOSE_ALARMS_WITHIN(area=area.id, model=model.id, check=check.id), absent="not limited"),
        )
        for model in book.program.models_in(area)
        for check in book.program.checks.values()
        if (key := HOSE_GAS_TIME(area=area.id, model=model.id, check=check.id)) in book.ledger
    ]
    if not rows:
        return ()
    heads = ("Detector", "Check", "Gas flows for", "Alarms sound within")
    caption = "If gas is given at the end of the hose"
    return table(heads, rows, caption=caption, numeric=(2, 3)), para(fixed("areas.through-hose"))
