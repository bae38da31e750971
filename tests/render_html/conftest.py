"""A small invented handbook made of every kind of block, with hostile text kept for the tests that need it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from builder.figures.figure import Figure
from builder.pages.blocks import Absent, Code, Fig, Heading, ItemList, Link, Notice, Paragraph, Strong, Table, Text
from builder.pages.compositions import Page
from builder.render.markup import SiteFacts


def made(key, text, unit, label, relation=""):
    return Figure(
        key=key,
        label=label,
        exact=Fraction(1),
        unit=unit,
        text=text,
        rounding=None,
        formula="as-written",
        inputs=(),
        source="test",
        relation=relation,
    )


FIGURES = {
    figure.key: figure
    for figure in (
        made("setpoint.wet-well.flammable.low", "5", "%LEL", "Low flammable alarm, wet well"),
        made("setpoint.wet-well.flammable.high", "10", "%LEL", "High flammable alarm, wet well"),
        made("setpoint.wet-well.oxygen.low", "19.5", "%vol", "Oxygen deficiency alarm, wet well"),
        made("setpoint.wet-well.oxygen.high", "23.5", "%vol", "Oxygen enrichment alarm, wet well"),
        made("setpoint.wet-well.hydrogen-sulfide.low", "5", "ppm", "Low hydrogen sulfide alarm, wet well"),
        made("setpoint.wet-well.hydrogen-sulfide.high", "10", "ppm", "High hydrogen sulfide alarm, wet well"),
        made("limit.wet-well.flammable", "10", "%LEL", "Strictest limit for flammable gas, wet well", "<"),
        made("gas.methane.lel.g-m3", "29.4", "g/m3", "Lower explosive limit of methane at site conditions"),
        made("gas.methane.lel.ppm", "44\u202f000", "ppm", "Lower explosive limit of methane"),
        made("response.cat-flammable.propane.factor", "1.9", "", "Response factor of propane"),
        made("hose.wet-well.four-pumped.wait", "34", "s", "Wait before reading, wet well"),
        made("unit.d-001.bump-test.due", "2026-11-25", "", "Bump test of D-001 due"),
    )
}


def t(*parts):
    return tuple(Text(part) if isinstance(part, str) else part for part in parts)


def p(*parts):
    return Paragraph(t(*parts))


HOME = Page(
    id="page:home",
    path="index.html",
    title="Portable gas detection at Example Works",
    section="home",
    lead=t("Which detector goes where, what its alarms mean, and how it is proved before use."),
    blocks=(
        p(
            "Start with the ",
            Link("page:setpoints", t("alarm setpoints")),
            " or with ",
            Link("area:wet-well", t("the wet well")),
            ".",
        ),
        p("The pocket card of the wet well is ", Link("card-pdf:wet-well", t("a file to print")), "."),
    ),
)

SETPOINTS = Page(
    id="page:setpoints",
    path="setpoints.html",
    title="Alarm setpoints",
    section="program",
    crumbs=(("page:home", "Handbook"),),
    lead=t("What every instrument of the site is set to, and the rule that each value keeps."),
    blocks=(
        Notice(
            "assumes",
            (
                p(
                    "Flammable readings are in methane. In another gas the display shows less or more; see ",
                    Link("area:wet-well", t("the corrections of the area")),
                    ".",
                ),
            ),
        ),
        Heading(2, t("Wet well"), "wet-well"),
        Table(
            ("Channel", "Low alarm", "High alarm", "Limit it keeps", "Why this value"),
            (
                (
                    t("Flammable gas"),
                    (Fig("setpoint.wet-well.flammable.low"),),
                    (Fig("setpoint.wet-well.flammable.high"),),
                    (Fig("limit.wet-well.flammable"),),
                    t("Half of the entry limit, so that there is time to leave before it is reached."),
                ),
                (
                    t("Oxygen"),
                    (Fig("setpoint.wet-well.oxygen.low"),),
                    (Fig("setpoint.wet-well.oxygen.high"),),
                    (Absent(),),
                    t("Deficiency below, enrichment above."),
                ),
                (
                    t("Hydrogen sulfide"),
                    (Fig("setpoint.wet-well.hydrogen-sulfide.low"),),
                    (Fig("setpoint.wet-well.hydrogen-sulfide.high"),),
                    (Absent("none binds here"),),
                    t("Below the ceiling that applies at this site."),
                ),
            ),
            caption="Setpoints in the wet well",
            numeric=(1, 2, 3),
        ),
        Heading(3, t("Where these figures are used")),
        p(
            "The methane limit is ",
            Fig("gas.methane.lel.ppm"),
            " or ",
            Fig("gas.methane.lel.g-m3"),
            " at site conditions; propane needs the factor ",
            Fig("response.cat-flammable.propane.factor"),
            ".",
        ),
        Heading(2, t("All other areas")),
        Table(
            ("Area", "Setpoint", ""),
            (),
            caption="Areas with values of their own",
            empty="No area has values of its own.",
        ),
    ),
)

WET_WELL = Page(
    id="area:wet-well",
    path="areas/wet-well.html",
    title="Wet well",
    section="areas",
    crumbs=(("page:home", "Handbook"), ("page:areas", "Work areas")),
    lead=t("Sewage pump chamber, entered by ladder; sampled from above before anyone goes in."),
    blocks=(
        Notice(
            "stop",
            (
                p("Do not enter while any alarm sounds or the hose test has failed."),
                ItemList(
                    (
                        (p("Leave at the low alarm."),),
                        (p("Get out at once at the high alarm; do not go back for tools."),),
                    )
                ),
            ),
            "No entry on alarm",
        ),
        Notice(
            "warn",
            (p("The flammable sensor needs oxygen to burn the gas; with too little it reads too low."),),
            "Low oxygen hides gas",
        ),
        Notice("caution", (p("Sludge that is stirred gives off hydrogen sulfide within seconds."),)),
        Notice("note", (p("Cards for this area: ", Link("card-pdf:wet-well", t("wet well, entrant")), "."),)),
        Heading(2, t("What is there")),
        Table(
            ("", ""),
            (
                (t("Activities"), t("Confined space entry, inspection")),
                (t("Detectors allowed"), t("Four-gas, pumped; hose ", Code("hose-10m"))),
                (t("Wait before reading"), (Fig("hose.wet-well.four-pumped.wait", decisive=True),)),
                (t("Temperature"), (Absent("not stated"),)),
            ),
            kind="facts",
        ),
        Heading(2, t("Corrections")),
        Table(
            ("Gas", *(f"Shows {n} %LEL" for n in (5, 10, 20, 40))),
            tuple(
                (t(gas), *((Fig("response.cat-flammable.propane.factor"),) for _ in range(4)))
                for gas in ("Methane", "Propane", "n-Hexane", "Toluene")
            ),
            caption="True %LEL for what the display shows",
            numeric=(1, 2, 3, 4),
            kind="matrix",
        ),
    ),
)

PROCEDURE = Page(
    id="procedure:bump-test",
    path="procedures/bump-test.html",
    title="Bump test before each day’s use",
    section="program",
    crumbs=(("page:home", "Handbook"),),
    lead=t("Proves that gas reaches every sensor and that every alarm sounds. It adjusts nothing."),
    blocks=(
        Notice("caution", (p("Gas for bump tests is under pressure and may be toxic. Work where air moves."),)),
        Heading(2, t("Before")),
        ItemList(
            tuple(
                (p(line),)
                for line in (
                    "The cylinder is in date and its certificate is at the bench.",
                    "The unit has warmed up in clean air.",
                    "Nobody relies on this unit while it is tested.",
                )
            ),
            kind="ticks",
        ),
        Heading(2, t("Steps"), "steps"),
        ItemList(
            (
                (
                    p(
                        "Look at the inlet, filter and case. ",
                        Strong(t("Do not use a cracked unit.")),
                    ),
                ),
                (p("Zero the unit in clean air."),),
                (
                    p("Fit the cap and open the regulator."),
                    Notice(
                        "warn", (p("Keep the flow at what the regulator gives; a kinked tube starves the sensors."),)
                    ),
                ),
                (p("Wait ", Fig("hose.wet-well.four-pumped.wait"), " and read each channel. Every alarm must sound."),),
                *((p(f"Check channel {n} against its window."),) for n in range(1, 7)),
                (
                    p("Write the result down, pass or fail."),
                    ItemList(((p("Pass: hang the unit back."),), (p("Fail: quarantine it and tell the calibrator."),))),
                ),
            ),
            ordered=True,
            kind="steps",
        ),
        p("Continue with step twelve after the calibration:"),
        ItemList(((p("Repeat the test."),),), ordered=True, start=12, kind="steps"),
    ),
)

INVENTORY = Page(
    id="page:detectors",
    path="detectors/index.html",
    title="Detectors in service",
    section="program",
    crumbs=(("page:home", "Handbook"),),
    blocks=(
        Table(
            (
                "Unit",
                "Kind",
                "Serial",
                "State",
                "Area or pool",
                "Cylinder",
                "Last bump test",
                "Next bump test",
                "Next calibration",
            ),
            tuple(
                (
                    (Link("page:detectors", t(f"D-{n:03}")),),
                    t("Four-gas, pumped" if n % 3 else "Single gas, hydrogen sulfide"),
                    (Code(f"Q4-20{n:03}"),),
                    t("in use" if n % 7 else "quarantined"),
                    t("Wet well" if n % 4 else "Control room rack"),
                    t("C-014"),
                    t("2026-11-24"),
                    (Fig("unit.d-001.bump-test.due"),),
                    (Absent("never calibrated"),) if n % 9 == 0 else t("2027-02-26"),
                )
                for n in range(1, 41)
            ),
            caption="All forty units and the days on which their checks fall due",
        ),
    ),
)

DERIVATIONS = Page(
    id="page:figures",
    path="figures/index.html",
    title="How each figure was made",
    section="evidence",
    crumbs=(("page:home", "Handbook"),),
    blocks=tuple(
        block
        for key, figure in FIGURES.items()
        for block in (
            Heading(2, (Code(key),), key),
            Table(
                ("", ""),
                ((t("What"), t(figure.label)), (t("Printed"), (Fig(key),)), (t("Source"), t(figure.source))),
                kind="facts",
            ),
        )
    ),
)

PAGES = (HOME, SETPOINTS, PROCEDURE, INVENTORY, WET_WELL, DERIVATIONS)
HREFS = {page.id: page.path for page in PAGES}
HREFS |= {f"figure:{key}": f"figures/index.html#{key}" for key in FIGURES}
HREFS |= {"card-pdf:wet-well": "cards/wet-well.pdf", "page:areas": "areas/index.html"}
SECTIONS = (
    ("home", "Home", "page:home"),
    ("areas", "Wet well", "area:wet-well"),
    ("program", "Alarm setpoints", "page:setpoints"),
    ("program", "Bump test", "procedure:bump-test"),
    ("program", "Detectors", "page:detectors"),
    ("evidence", "Figures and derivations", "page:figures"),
)


def facts(**changes):
    values = {
        "name": "Example Works",
        "title": "Portable gas detection handbook",
        "draft": False,
        "revision": "Revision 3",
        "as_of": "2026-11-25",
        "invented": True,
        "owner": "Safety lead",
    }
    return SiteFacts(**(values | changes))


class Sample:
    """Everything the tests render."""

    pages = PAGES
    figures = FIGURES
    hrefs = HREFS
    sections = SECTIONS
    facts = staticmethod(facts)


@pytest.fixture(scope="session")
def sample():
    return Sample
