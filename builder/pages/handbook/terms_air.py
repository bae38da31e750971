"""Terms of air, explosion and exposure."""

from __future__ import annotations

from typing import Final

from builder.pages.handbook.terms_record import GlossaryTerm

AIR: Final = (
    GlossaryTerm(
        id="confined-space",
        name="Confined space",
        text="A place that people can get into and work in, that is hard to get in or out of, and that is not made "
        "for staying in. Gas can collect there, and help comes late.",
        source="29 CFR 1910.146(b)",
        checked="read",
        see=("hazardous-atmosphere",),
        linked=("confined space", "confined-space entry"),
    ),
    GlossaryTerm(
        id="hazardous-atmosphere",
        name="Hazardous atmosphere",
        text="Air that can kill, injure or make people unable to save themselves: too little or too much oxygen, too "
        "much flammable gas or dust, or a toxic substance above its limit.",
        source="29 CFR 1910.146(b)",
        checked="read",
        see=("oxygen-deficiency", "oxygen-enrichment", "lel"),
        linked=("hazardous atmosphere", "air is hazardous"),
    ),
    GlossaryTerm(
        id="oxygen-deficiency",
        name="Oxygen deficiency",
        text="Air with less oxygen than people need. Another gas has pushed it out, or something has used it up; the "
        "display does not say which, and the other gas may itself be deadly.",
        source="29 CFR 1910.146(b)",
        checked="read",
        see=("displacement", "partial-pressure"),
        linked=("oxygen deficiency", "too little"),
    ),
    GlossaryTerm(
        id="oxygen-enrichment",
        name="Oxygen enrichment",
        text="Air with more oxygen than usual. Clothes, hair and grease burn in it as nothing does in ordinary air.",
        source="29 CFR 1910.146(b)",
        checked="read",
        linked=("oxygen enrichment", "too much"),
    ),
    GlossaryTerm(
        id="displacement",
        name="Displacement",
        text="Oxygen pushed out by another gas. A small drop of the oxygen reading stands for about five times as "
        "much of the gas that came in, since air is only one part oxygen in five.",
        see=("oxygen-deficiency",),
        linked=("displacement", "pushed out", "pushes it out"),
    ),
    GlossaryTerm(
        id="partial-pressure",
        name="Partial pressure of oxygen",
        text="The share of the air pressure that the oxygen makes up. Bodies feel it, and many cells measure it; at "
        "altitude it is lower although the percentage is the same.",
        source="OSHA, letter of 2 April 2007 on 29 CFR 1910.134(d)(2)(iii)",
        checked="read",
        linked=("partial pressure",),
    ),
    GlossaryTerm(
        id="vapour",
        name="Vapour",
        text="What goes into the air from a liquid or a solid. How much can do so depends on its temperature; near "
        "cold walls it turns to liquid again and is not seen by a detector.",
        also=("vapor",),
        linked=("Vapour", "heavy vapour", "solvent vapour"),
    ),
    GlossaryTerm(
        id="layering",
        name="Layering",
        text="Gas lying in layers, because it is heavier or lighter than air or colder than its surroundings. So the "
        "air is tested at several levels, and ahead and to both sides of the way taken.",
        source="29 CFR 1910.146, appendix B(4)",
        checked="read",
        also=("stratification",),
        linked=("layering", "stratification", "test levels"),
    ),
    GlossaryTerm(
        id="volume-percent",
        name="Per cent by volume",
        text="How many of a hundred parts of the air are this gas. It does not change with pressure or temperature, "
        "so cylinders are certified in it and limits are compared in it.",
        also=("%vol", "vol%", "% v/v"),
        see=("ppm",),
        linked=("%vol", "per cent by volume", "percent by volume", "by volume"),
    ),
    GlossaryTerm(
        id="ppm",
        name="Parts per million",
        text="How many of a million parts of the air are this gas; ten thousand of them are one per cent by volume.",
        also=("ppm",),
        see=("volume-percent", "mass-concentration"),
        linked=("ppm", "parts per million", "In parts per million"),
    ),
    GlossaryTerm(
        id="mass-concentration",
        name="Mass concentration",
        text="The mass of a substance in a volume of air. For the same parts per million it changes with pressure and "
        "temperature, so it is only whole with the conditions it was computed for.",
        also=("mg/m³", "milligrams per cubic metre"),
        linked=("mg/m³", "by mass", "g/m³"),
    ),
)
EXPLOSION: Final = (
    GlossaryTerm(
        id="lel",
        name="Lower explosive limit",
        text="The smallest concentration of a gas in air that a flame can run through. Published tables give "
        "different values for the same gas, so a share of it means something only with the table named.",
        source="29 CFR 1915, appendix A, for the two names",
        checked="read",
        also=("LEL", "LFL", "lower flammable limit"),
        see=("percent-lel", "lel-basis", "uel"),
    ),
    GlossaryTerm(
        id="uel",
        name="Upper explosive limit",
        text="The largest concentration that a flame can still run through. Above it the mixture is too rich to "
        "burn, and becomes explosive as soon as fresh air comes in.",
        source="IEC 60079-20-1; NFPA 325",
        checked="memory",
        also=("UEL", "UFL", "upper flammable limit"),
        see=("lel",),
    ),
    GlossaryTerm(
        id="percent-lel",
        name="Per cent of the lower explosive limit",
        text="How far the air is on the way to the lower explosive limit; at a hundred it is there. The display "
        "shows it for the gas it is scaled in, and for no other without a correction.",
        also=("%LEL", "%LFL"),
        see=("lel-basis", "correction-factor"),
        linked=("%LEL", "%LFL"),
    ),
    GlossaryTerm(
        id="lel-basis",
        name="LEL basis",
        text="The published table whose lower explosive limits a site works with. The same cylinder is another share "
        "on another basis, and an instrument spanned on the wrong one reads low.",
        see=("lel", "span"),
        linked=("LEL basis", "Basis of %LEL", "LEL on the site's basis"),
    ),
    GlossaryTerm(
        id="hot-work",
        name="Hot work",
        text="Work that makes flames, sparks or hot surfaces: welding, cutting, grinding. The air is tested before "
        "it and watched during it.",
        source="29 CFR 1915.11(b) and 1926.800(j)(2)(iv); SOR/86-304 s. 11.10",
        checked="read",
    ),
)
EXPOSURE: Final = (
    GlossaryTerm(
        id="exposure-limit",
        name="Exposure limit",
        text="The most of a substance that a rule or a body allows in the air people breathe, over a stated time. "
        "Some lists bind by law, some advise.",
        source="29 CFR 1910.1000; EH40/2005",
        checked="seen",
        also=("OEL", "PEL", "WEL", "REL"),
        see=("twa", "stel", "ceiling"),
    ),
    GlossaryTerm(
        id="twa",
        name="Time-weighted average",
        text="Concentrations of a shift, each counted by the time it lasted, added up and divided by the hours the "
        "limit is made for, usually eight. Switching off loses the past.",
        source="29 CFR 1910.1000(d)(1)",
        checked="read",
        also=("TWA",),
        see=("stel",),
    ),
    GlossaryTerm(
        id="stel",
        name="Short-term exposure limit",
        text="An average over a short time, usually a quarter of an hour, that is not to be passed even when the "
        "average of the shift is kept.",
        source="29 CFR 1910.1028(c)(2); EH40/2005",
        checked="memory",
        also=("STEL",),
        see=("twa", "ceiling"),
    ),
    GlossaryTerm(
        id="ceiling",
        name="Ceiling",
        text="A concentration that is never to be passed, however short the time.",
        source="29 CFR 1910.1000(a)(1)",
        checked="read",
        also=("C",),
        linked=("ceiling limit", "ceiling value", "Ceiling: never above"),
    ),
    GlossaryTerm(
        id="idlh",
        name="Immediately dangerous to life or health",
        text="A concentration from which a person without protection may not get away unharmed. It is no limit to "
        "work up to; it says which breathing apparatus a rescue needs.",
        source="29 CFR 1910.134(b); NIOSH",
        checked="memory",
        also=("IDLH",),
    ),
)
