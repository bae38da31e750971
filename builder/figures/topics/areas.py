"""What holds in each area: the strictest rules, and its stated facts."""

from builder.base.quantity import quantity
from builder.figures.figure import Input
from builder.figures.formulas import origin
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import as_written
from builder.figures.terms import Term, constant, given
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.reference.rules import KINDS, STAY_OUT, Rule, rules_for, strictest

LIMITS = {
    "flammable": "Strictest flammable limit",
    "methane": "Strictest rule for methane by volume",
    "oxygen-low": "Lowest oxygen allowed",
    "oxygen-high": "Highest oxygen allowed",
    "hydrogen-sulfide": "Strictest rule for hydrogen sulfide",
    "carbon-monoxide": "Strictest rule for carbon monoxide",
}
"""In words, for the rules that keep people out."""
QUANTITIES = {
    "flammable": "flammable gas",
    "methane": "methane by volume",
    "oxygen-low": "low oxygen",
    "oxygen-high": "high oxygen",
    "hydrogen-sulfide": "hydrogen sulfide",
    "carbon-monoxide": "carbon monoxide",
}
ASKED = {
    "alarm": "Where an alarm of {} must have sounded",
    "act": "Where something must be done about {}",
    "test": "Where the air must be tested or watched for {}",
    "enter": "Where nobody goes in any more for {}",
}
"""In words, for the other kinds of rule."""
FALLING = ("<", "≤")
"""Signs of rules whose hazard lies below their number."""
FALLS = constant("too little is the hazard", value=True, source="sign of the rule")
NOTES = {
    STAY_OUT: "the sign shows the hazardous side; there the rule says stay out or leave",
    "alarm": "the sign shows the side on which the rule wants the alarm to sound",
    "act": "the sign shows the side on which the rule wants something done; people may stay meanwhile",
    "test": "the sign shows the side on which the rule wants the air tested or watched; it is no value for an alarm",
    "enter": "the sign shows the side on which by the reading before nobody goes in; it is no value for an alarm",
}


def compute(recorder: FigureRecorder) -> None:
    """Enter ``area.<area>.*`` and ``limit.<area>.*``."""
    for area in recorder.program.areas.values():
        _facts(recorder, area)
        rules = rules_for(recorder.program.place_of(area).value, [activity.value for activity in area.activities])
        for name, label in LIMITS.items():
            for kind in KINDS:
                rule = strictest(rules, name, kind)
                if rule is not None:
                    same = [r for r in rules if (r.quantity, r.kind) == (name, kind) and r is not rule]
                    words = label if kind == STAY_OUT else ASKED[kind].format(QUANTITIES[name])
                    _limit(recorder, area, limit_key(area.id, name, kind), f"{words} in {area.name}", rule, same)
            sounds = limit_key(area.id, name, "alarm")
            if sounds in recorder.ledger:  # where no rule keeps people out, the alarm has to
                recorder.ledger.alias(limit_key(area.id, name, STAY_OUT), sounds)


def limit_key(area: str, quantity: str, kind: str) -> str:
    """Key of the strictest rule of one kind; one that keeps people out has the plain key."""
    if kind == STAY_OUT:
        return keyed.RULE(area=area, quantity=quantity)
    return keyed.RULE_THAT_ASKS(area=area, quantity=quantity, asks=kind)


def _facts(recorder: FigureRecorder, area: Area) -> None:
    recorder.each_stated(
        (keyed.AREA_DEPTH, f"Depth of {area.name}", area.depth, "m"),
        (keyed.AREA_HOSE, f"Hose used in {area.name}", area.hose, "m"),
        (keyed.AREA_LOWEST_OXYGEN, f"Lowest oxygen expected in {area.name}", area.lowest_oxygen, "%vol"),
        (keyed.AREA_TEMPERATURE, f"Temperature in {area.name}", area.temperature, "°C"),
        area=area.id,
    )


def _limit(recorder: FigureRecorder, area: Area, key: str, label: str, rule: Rule, others: list[Rule]) -> None:
    strictest_first = [
        _rule(f"{rule.says} ({rule.relation} {rule.text} {rule.unit})", rule),
        *(
            _rule(f"also applies, no stricter ({other.relation} {other.text} {other.unit})", other, decides=False)
            for other in others
        ),
    ]
    force = "binding" if rule.binding else "advisory"
    recorder.derived(
        key,
        label,
        rule.unit,
        as_written(rule.text),
        origin.strictest_rule,
        strictest_first,
        FALLS if rule.relation in FALLING else None,
        beside=[
            given("place", recorder.program.place_of(area)),
            *(given("activity", activity) for activity in area.activities),
        ],
        relation=rule.relation,
        source=f"{rule.cited()}, {rule.edition}; {force}",
        note=NOTES[rule.kind],
    )


def _rule(label: str, rule: Rule, *, decides: bool = True) -> Term:
    force = "binding" if rule.binding else "advisory"
    told = Input(
        label=label,
        text=f"{rule.relation} {rule.text} {rule.unit}",
        source=f"{rule.cited()}, {rule.edition}; {force}",
        read=rule.read,
        decides=decides,
    )
    return Term(quantity(rule.value, rule.unit), told)
