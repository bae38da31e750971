"""Terms of detectors, their checks, hoses and papers."""

from __future__ import annotations

from typing import Final

from builder.pages.handbook.terms_record import GlossaryTerm

SHIB: Final = "ISEA statement carried in OSHA SHIB 11-26-2024"
GUIDE: Final = "IEC 60079-29-2"

SENSORS: Final = (
    GlossaryTerm(
        id="catalytic-sensor",
        name="Catalytic sensor",
        text="Burns a little of the gas on a hot bead and measures the heat. It needs oxygen, and silicones, lead or "
        "sulfur compounds can make it blind while it still shows zero.",
        source=GUIDE,
        checked="memory",
        also=("pellistor",),
        see=("poison",),
        linked=("catalytic sensor", "catalytic", "pellistor"),
    ),
    GlossaryTerm(
        id="infrared-sensor",
        name="Infrared sensor",
        text="Measures light that the gas takes away. It needs no oxygen and cannot be poisoned, but it is blind to "
        "hydrogen and every other gas that does not take up its light.",
        source=GUIDE,
        checked="memory",
        also=("IR", "NDIR"),
        linked=("infrared sensor", "infrared"),
    ),
    GlossaryTerm(
        id="electrochemical-cell",
        name="Electrochemical cell",
        text="A small cell in which the gas makes a current. It is used for oxygen and toxic gases, ages, dries out, "
        "and often answers to other gases too.",
        also=("EC cell",),
        see=("cross-sensitivity",),
    ),
    GlossaryTerm(
        id="photoionisation",
        name="Photoionisation detector",
        text="A lamp knocks electrons off the molecules of a vapour, and the current is measured. It sees many "
        "vapours at once and cannot say which.",
        also=("PID", "photoionization"),
        see=("lamp-energy", "correction-factor"),
        linked=("photoionisation", "photoionization", "PID"),
    ),
    GlossaryTerm(
        id="lamp-energy",
        name="Lamp energy",
        text="The energy of the light of a photoionisation lamp. A gas whose ionisation energy is not lower than it "
        "is not seen at all.",
        see=("photoionisation",),
    ),
    GlossaryTerm(
        id="ionisation-energy",
        name="Ionisation energy",
        text="The energy that it takes to knock one electron off a molecule.",
        also=("ionization potential", "IP"),
        see=("lamp-energy",),
    ),
    GlossaryTerm(
        id="cross-sensitivity",
        name="Cross-sensitivity",
        text="The answer of a sensor to a gas that it is not meant for. It can add to the reading, or take from it "
        "and hide the gas that is there.",
        linked=(
            "cross-sensitivity",
            "moves the reading of",
            "Share of it that is shown",
            "Share of this gas that it shows",
        ),
    ),
    GlossaryTerm(
        id="poison",
        name="Poison and inhibitor",
        text="Substances that make a sensor lose its answer, for good or for some time. Only test gas shows it.",
        source=SHIB,
        checked="seen",
        see=("bump-test",),
        linked=("poison", "poisoned", "inhibitor"),
    ),
    GlossaryTerm(
        id="t90",
        name="T90",
        text="The time in which the display has come nine tenths of the way from the old reading to the new one. A "
        "reading is held at least as long as the answer takes.",
        source="29 CFR 1910.146, appendix B(3), for holding the reading",
        checked="read",
        also=("response time",),
    ),
    GlossaryTerm(
        id="full-scale",
        name="Full scale",
        text="The end of the range that the display can show. A reading there says only that there is at least as "
        "much, and after it a falling reading may mean that the sensor has had too much gas.",
        also=("over-range",),
    ),
    GlossaryTerm(
        id="resolution",
        name="Resolution",
        text="The smallest step in which the display counts. No printed reading or setpoint is finer than it.",
    ),
)
READINGS: Final = (
    GlossaryTerm(
        id="correction-factor",
        name="Correction factor",
        text="The number that a reading is multiplied by when the gas that is there is not the one the display is "
        "scaled in. It belongs to one kind of sensor; some makers print the number to divide by.",
        also=("response factor", "CF", "relative response"),
        see=("cross-sensitivity",),
        linked=("correction factor", "response factor", "relative response", "Multiply the reading by"),
    ),
    GlossaryTerm(
        id="setpoint",
        name="Setpoint",
        text="The value at which an alarm is set to sound. Set at a limit it does not protect the limit: the error "
        "of the instrument and the time it takes to answer come on top.",
        also=("alarm setpoint",),
    ),
    GlossaryTerm(
        id="low-high-alarm",
        name="Low and high alarm",
        text="The first and the second alarm at once when a value is reached. For oxygen low means too little and "
        "high means too much.",
        linked=("low alarm", "high alarm"),
    ),
    GlossaryTerm(
        id="peak-hold",
        name="Peak",
        text="The highest reading since switching on. It is not an average, and not what is there now.",
        see=("twa",),
        linked=("peak hold", "peak reading"),
    ),
)
CHECKS: Final = (
    GlossaryTerm(
        id="bump-test",
        name="Bump test",
        text="Gas is brought to the sensors, strong and long enough to set off every alarm. It proves that gas gets "
        "in and alarms sound; it does not prove that readings are right.",
        source=SHIB,
        checked="seen",
        also=("function check",),
        see=("calibration-check", "full-calibration"),
    ),
    GlossaryTerm(
        id="calibration-check",
        name="Calibration check",
        text="Known, traceable gas is brought to the sensors, and the reading is compared with stated limits. "
        "Nothing is adjusted.",
        source=SHIB,
        checked="seen",
        see=("acceptance-window",),
    ),
    GlossaryTerm(
        id="full-calibration",
        name="Full calibration",
        text="The reading is adjusted to known, traceable gas: first the zero, then the span. What was found before "
        "is written down before anything is touched.",
        source=SHIB,
        checked="seen",
        also=("calibration",),
        see=("zero", "span", "as-found", "as-left"),
    ),
    GlossaryTerm(
        id="zero",
        name="Zero",
        text="Adjusting what is shown in air that is known to be clean. In air that is not clean it hides what is "
        "there by just as much.",
        also=("fresh-air zero", "clean-air zero"),
        linked=("zero in clean air", "fresh-air zero", "clean-air zero"),
    ),
    GlossaryTerm(
        id="span",
        name="Span",
        text="Adjusting what is shown with gas of known strength, after the zero.",
        see=("calibration-gas",),
    ),
    GlossaryTerm(
        id="as-found",
        name="As found",
        text="What was shown before anything was adjusted. When it is outside its window, everything measured since "
        "the last good check has to be judged anew.",
        source="ISO 9001:2015, 7.1.5.2",
        checked="seen",
        see=("as-left",),
    ),
    GlossaryTerm(
        id="as-left",
        name="As left",
        text="What was shown after the adjustment, with which the unit goes back to work.",
        see=("as-found",),
    ),
    GlossaryTerm(
        id="acceptance-window",
        name="Acceptance window",
        text="From and to, between which a reading passes. It is rounded inward, and may be narrowed by the "
        "uncertainty of the cylinder.",
        source="30 CFR 250.490(j)(6)(ii), for the greater of two tolerances",
        checked="read",
        also=("tolerance",),
        linked=("acceptance window", "tolerance"),
    ),
    GlossaryTerm(
        id="calibration-gas",
        name="Calibration gas",
        text="Gas of known strength with a certificate, in date, in a cylinder. Flammable gas is stated by volume; a "
        "share of the explosive limit on a label holds only on the basis of whoever filled it.",
        source=SHIB,
        checked="seen",
        also=("span gas", "test gas"),
        see=("lel-basis", "balance-gas"),
    ),
    GlossaryTerm(
        id="balance-gas",
        name="Balance gas",
        text="What fills the rest of a cylinder. Catalytic sensors need air there, since they burn the gas.",
        see=("catalytic-sensor",),
        linked=("balance gas", "balance"),
    ),
    GlossaryTerm(
        id="traceable",
        name="Traceable",
        text="Compared with national standards by an unbroken chain of comparisons, each with its uncertainty.",
        source="ISO/IEC 17025:2017",
        checked="memory",
    ),
)
SAMPLING: Final = (
    GlossaryTerm(
        id="diffusion",
        name="Diffusion",
        text="Gas reaching the sensors by itself, without a pump: the detector tells of the air where it hangs.",
    ),
    GlossaryTerm(
        id="draw-time",
        name="Draw time and wait",
        text="How long gas travels through a hose, and how long to wait at each level until the reading counts: the "
        "travel and the answer of the sensor together.",
        see=("t90", "adsorption"),
        linked=("wait before reading", "draw time", "wait for the hose"),
    ),
    GlossaryTerm(
        id="adsorption",
        name="Adsorption",
        text="Vapour clinging to the wall of a hose. The display stays low, or shows nothing, long after the wait is "
        "over; a new hose or use is proved with the real substance.",
        source="HSE safety alert CEMHD1-2020",
        checked="read",
        also=("clinging",),
        linked=("adsorption", "clings to sampling tubes", "clinging to the tube", "clinging"),
    ),
    GlossaryTerm(
        id="flow-block",
        name="Flow-block test",
        text="The inlet is closed with a finger: the pump has to stop and say so. If it does not, air comes in "
        "somewhere on the way and thins what is measured.",
        also=("leak test",),
    ),
)
PAPERS: Final = (
    GlossaryTerm(
        id="permit",
        name="Entry permit",
        text="The paper that says what was tested with which result, by whom, and who may go in until when.",
        source="29 CFR 1910.146(f)",
        checked="read",
        linked=("entry permit",),
    ),
    GlossaryTerm(
        id="as-of",
        name="Counted from",
        text="The day on which the due dates of this issue were judged. On a later day more can be overdue.",
        linked=("counted from", "due dates counted from"),
    ),
    GlossaryTerm(
        id="finding",
        name="Finding",
        text="Something that the computation can prove wrong in the program, with the line that would mend it. While "
        "a stop is open, no revision is released.",
    ),
    GlossaryTerm(
        id="superseded",
        name="Superseded",
        text="Replaced by a newer revision. A superseded card is taken out of the pocket and destroyed.",
        source="ISO 9001:2015, 7.5.3",
        checked="memory",
    ),
)
