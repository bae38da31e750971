"""The blocks that cards are composed of, each declared once: what readers allow, guides print and tests try.

The function that composes a block stands in ``builder.pages.cards.blocks`` under the same name.
"""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class CardBlockKind:
    """What a block is, and what its author writes."""

    name: str
    takes: tuple[str, ...] = ()
    """Keys that it takes beside ``block`` and ``title``."""
    needs: tuple[str, ...] = ()
    """What its card has to name: ``area``."""
    docs: str
    """What it prints, in a line for authors."""
    example: str
    """One entry as an author writes it, of ids that the demo has."""


CARD_BLOCKS: Mapping[str, CardBlockKind] = {
    one.name: one
    for one in (
        CardBlockKind(
            name="alarm-actions",
            takes=("channels",),
            needs=("area",),
            docs="what to do when it sounds; without `channels` all that the card's detectors measure, and an alarm "
            "that its carrier's card leaves out is a finding",
            example="{block: alarm-actions, channels: [oxygen, flammable]}",
        ),
        CardBlockKind(
            name="limits",
            takes=("channels",),
            needs=("area",),
            docs="setpoints beside the limits that they protect",
            example="{block: limits, channels: [oxygen, flammable]}",
        ),
        CardBlockKind(
            name="corrections",
            takes=("gases", "readings"),
            needs=("area",),
            docs="what is really there at displayed readings, a column a gas",
            example="{block: corrections, gases: [toluene, acetone], readings: [3 %LEL, 5 %LEL]}",
        ),
        CardBlockKind(
            name="chart",
            takes=("gases",),
            needs=("area",),
            docs="true against displayed readings as a drawing",
            example="{block: chart, gases: [toluene, acetone]}",
        ),
        CardBlockKind(
            name="not-seen",
            needs=("area",),
            docs="what the display does not see",
            example="{block: not-seen}",
        ),
        CardBlockKind(
            name="before-use",
            takes=("steps",),
            docs="steps before use, lines of prose",
            example="{block: before-use, steps: [Look first.]}",
        ),
        CardBlockKind(
            name="bump",
            takes=("cylinder", "check"),
            docs="what each sensor has to show while the gas of a cylinder flows, in the bump test or the check named, "
            "what the cylinder holds and its last day",
            example="{block: bump, cylinder: c-101}",
        ),
        CardBlockKind(
            name="cylinder",
            takes=("cylinder",),
            docs="what a cylinder holds and until when",
            example="{block: cylinder, cylinder: c-101}",
        ),
        CardBlockKind(
            name="test-order",
            takes=("channels",),
            needs=("area",),
            docs="in which order to test, when to go in (`entry` in site.yaml) or to stay out, hose wait, levels",
            example="{block: test-order, channels: [oxygen, flammable]}",
        ),
        CardBlockKind(
            name="hose",
            needs=("area",),
            docs="how long to wait through the hose, and at how many levels",
            example="{block: hose}",
        ),
        CardBlockKind(
            name="oxygen",
            needs=("area",),
            docs="what oxygen readings allow, and what they hide",
            example="{block: oxygen}",
        ),
        CardBlockKind(
            name="duties",
            needs=("area",),
            docs="what whoever the card is for does and never does, in the builder's words: entrant, attendant, tester "
            "and hot work watch by the duties of the rule",
            example="{block: duties}",
        ),
        CardBlockKind(
            name="rescue",
            takes=("stops", "goes-on", "turn-back"),
            needs=("area",),
            docs="for a rescuer on air: what stops him, what does not, what endangers life, when to turn back",
            example="{block: rescue, stops: [flammable.high, oxygen.high], goes-on: [oxygen.low, flammable.low], "
            'turn-back: "half of your air used"}',
        ),
        CardBlockKind(
            name="never",
            takes=("line",),
            docs="the one line that saves a life, as large as an order: put it first on the front",
            example="{block: never, line: Never go in alone.}",
        ),
        CardBlockKind(
            name="carry",
            needs=("area",),
            docs="which detectors the reader takes together",
            example="{block: carry}",
        ),
        CardBlockKind(
            name="accept",
            takes=("channels",),
            needs=("area",),
            docs="readings at which it may be entered: those of `entry` in site.yaml, else all inside the alarms",
            example="{block: accept, channels: [oxygen, flammable]}",
        ),
        CardBlockKind(
            name="alarms-prove",
            takes=("check",),
            docs="what proves the alarms in the bump test or the check named: light, sound and shake, and how soon",
            example="{block: alarms-prove, check: bump-test}",
        ),
        CardBlockKind(
            name="relay",
            takes=("body",),
            docs="who hears the alarm and how it is passed on, in your own prose",
            example='{block: relay, body: "- Shout. The attendant calls."}',
        ),
        CardBlockKind(name="contacts", docs="whom to call, the number first", example="{block: contacts}"),
        CardBlockKind(
            name="lone-worker",
            takes=("model",),
            docs="when the lone-worker alarm of a model warns and sounds",
            example="{block: lone-worker, model: four-diffusion}",
        ),
        CardBlockKind(
            name="conversions",
            takes=("gases",),
            docs="explosive limit by volume, and the mass of one ppm",
            example="{block: conversions, gases: [methane, carbon-monoxide]}",
        ),
        CardBlockKind(
            name="qr",
            docs="a square code beside the card's code: see below",
            example="{block: qr}",
        ),
        CardBlockKind(
            name="in-the-air",
            needs=("area",),
            docs="what can be in the air of the area",
            example="{block: in-the-air}",
        ),
        CardBlockKind(
            name="area-page",
            needs=("area",),
            docs="a square code that leads to the page of the area",
            example="{block: area-page}",
        ),
        CardBlockKind(
            name="text",
            takes=("body",),
            docs="prose of your own, under a title",
            example='{block: text, title: Post, body: "- Stay outside."}',
        ),
    )
}
"""By name, in the order of the guide."""


def blocks_table() -> str:
    """The table of blocks in ``docs/content.md``."""
    rows = (
        f"| `{kind.name}` | {kind.docs} | {', '.join(f'`{key}`' for key in kind.takes)} | "
        f"{', '.join(kind.needs)} | `{kind.example}` |"
        for kind in CARD_BLOCKS.values()
    )
    return "\n".join(("| block | prints | takes | card needs | example |", "|---|---|---|---|---|", *rows)) + "\n"
