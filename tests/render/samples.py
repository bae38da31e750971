"""Small factories for cards and figures. All names and numbers are invented."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from builder.figures.figure import Figure
from builder.pages.blocks import Block, Fig, Inlines, ItemList, Link, Notice, Paragraph, Qr, Strong, Table, Text
from builder.pages.compositions import Card, CardBlock, CardSide


def figure(key: str, text: str, unit: str = "", relation: str = "") -> Figure:
    return Figure(
        key=key,
        label=key,
        exact=Fraction(text),
        unit=unit,
        text=text,
        rounding=None,
        formula="given",
        inputs=(),
        source="",
        relation=relation,
    )


FIGURES = {
    one.key: one
    for one in (
        figure("setpoint.oxygen.low", "19.5", "%vol"),
        figure("setpoint.oxygen.high", "23.0", "%vol"),
        figure("setpoint.flammable.low", "5", "%LEL"),
        figure("setpoint.flammable.high", "10", "%LEL"),
        figure("setpoint.h2s.low", "5", "ppm"),
        figure("setpoint.h2s.high", "10", "ppm"),
        figure("limit.oxygen", "19.5", "%vol", "<"),
        figure("limit.flammable", "10", "%LEL", "≥"),
        figure("limit.h2s", "10", "ppm", ">"),
        figure("reading.5", "5", "%LEL"),
        figure("reading.10", "10", "%LEL"),
        figure("reading.20", "20", "%LEL"),
        figure("true.methane.5", "5", "%LEL"),
        figure("true.methane.10", "10", "%LEL"),
        figure("true.methane.20", "20", "%LEL"),
        figure("true.propane.5", "9.5", "%LEL"),
        figure("true.propane.10", "19", "%LEL"),
        figure("true.propane.20", "38", "%LEL"),
        figure("wait.hose", "42", "s"),
        figure("bump.time", "60", "s"),
    )
}


def words(text: str) -> Inlines:
    return (Text(text),)


def para(text: str) -> Paragraph:
    return Paragraph(words(text))


def fig(key: str, *, bare: bool = False) -> Inlines:
    return (Fig(key, bare=bare, decisive=True),)


def block(name: str, *blocks: Block, title: str = "") -> CardBlock:
    return CardBlock(name=name, title=title, blocks=blocks)


ALARMS = (
    ("Oxygen low", "setpoint.oxygen.low", "Get out at once. Do not go back."),
    ("Oxygen high", "setpoint.oxygen.high", "Stop work. Leave the space."),
    ("Flammable low", "setpoint.flammable.low", "Leave the space. Tell the attendant."),
    ("Flammable high", "setpoint.flammable.high", "Get out at once. Do not go back."),
    ("H₂S low", "setpoint.h2s.low", "Leave the space. Tell the attendant."),
    ("H₂S high", "setpoint.h2s.high", "Get out at once. Do not go back."),
)


def alarm_block() -> CardBlock:
    orders = {action: [one for one in ALARMS if one[2] == action] for _, _, action in ALARMS}
    rows = tuple(
        (words(action), tuple(part for name, key, _ in found for part in (*words(f" {name} "), *fig(key))))
        for action, found in orders.items()
    )
    return block("alarm-actions", Table(columns=("", ""), rows=rows, kind="actions"), title="If it sounds")


def contact_block() -> CardBlock:
    rows = (
        (words("4400"), words("Control room, internal line")),
        (words("4411"), words("Team on standby, radio channel 3")),
    )
    return block("contacts", Table(columns=("", ""), rows=rows, kind="calls"), title="Who to call")


def correction_block() -> CardBlock:
    rows = tuple(
        (
            fig(f"reading.{step}", bare=True),
            fig(f"true.methane.{step}", bare=True),
            fig(f"true.propane.{step}", bare=True),
        )
        for step in (5, 10, 20)
    )
    table = Table(columns=("Display, %LEL", "if methane", "if propane"), rows=rows, numeric=(0, 1, 2), kind="matrix")
    note = Paragraph((Text("Real %LEL by gas. Unknown gas: take the "), Strong(words("highest")), Text(" column.")))
    return block("corrections", table, note, title="What the number means here")


def before_use_block() -> CardBlock:
    steps = (
        para("Case whole, filters dry, clip firm, alarm ports free."),
        para("Switch on in clean air, away from engines; watch the start-up test to its end."),
        Paragraph(
            (Text("Bump test: gas on for "), Fig("bump.time"), Text("; every alarm must sound, flash and shake."))
        ),
        Paragraph(
            (Text("At each level wait "), Fig("wait.hose", decisive=True), Text(" before you believe the number."))
        ),
        para("Wear it on the chest, outside the coat, within a hand's breadth of the mouth."),
    )
    return block("before-use", ItemList(items=tuple((step,) for step in steps), kind="ticks"), title="Before you go in")


def not_seen_block() -> CardBlock:
    note = Notice(kind="caution", content=(para("It does not see nitrogen, argon or carbon dioxide. Watch oxygen."),))
    return block("not-seen", note, title="What the display does not see")


def card(
    card_id: str = "wet-well-entrant",
    front: tuple[CardBlock, ...] = (),
    back: tuple[CardBlock, ...] = (),
    *,
    form: str = "A7",
    draft: bool = False,
    title: str = "Wet well",
    audience: str = "entrant",
) -> Card:
    sides = [CardSide(name="front", blocks=front or (block("text", para("Front.")),))]
    if back:
        sides.append(CardSide(name="back", blocks=back))
    edition = "DRAFT: not for use" if draft else "Revision 3"
    until = "" if draft else "valid until 31 Oct 2027 · "
    foot = (Text(f"{edition} · 1 Nov 2026 · {until}"), Link("page:cards", words("EX-7K2M")))
    return Card(
        id=card_id,
        title=title,
        audience=audience,
        area="Wet well",
        format=form,
        language="en",
        sides=tuple(sides),
        foot=foot,
        code="EX-7K2M",
        draft=draft,
    )


def entrant(card_id: str = "wet-well-entrant", *, draft: bool = False) -> Card:
    """The A7 card that the builder is made for."""
    front = (alarm_block(), contact_block())
    return card(card_id, front, (correction_block(), before_use_block(), not_seen_block()), draft=draft)


def limits(card_id: str = "wet-well-limits", *, draft: bool = False) -> Card:
    """An ID-1 card with the ladder of limits."""
    rows = (
        (words("Oxygen"), fig("setpoint.oxygen.low"), fig("limit.oxygen"), words("suffocates")),
        (words("Flammable gas"), fig("setpoint.flammable.high"), fig("limit.flammable"), words("burns")),
        (words("Hydrogen sulfide"), fig("setpoint.h2s.high"), fig("limit.h2s"), words("poisons")),
    )
    table = Table(columns=("In this order", "Alarm", "Limit", "Beyond it"), rows=rows, numeric=(1, 2))
    note = para("Air of this space only.")
    return card(card_id, (block("limits", table, note, title="Limits and alarms"),), form="ID-1", draft=draft)


def calibrator(card_id: str = "bench", *, draft: bool = False) -> Card:
    """An A6 card."""
    front = (alarm_block(), contact_block())
    back = (correction_block(), before_use_block(), not_seen_block())
    return card(card_id, front, back, form="A6", title="Wet well, bench", audience="calibrator", draft=draft)


def folded(card_id: str = "well-folded", form: str = "A6-folded", *, draft: bool = False) -> Card:
    """A card of four panels."""
    panels = ((alarm_block(),), (before_use_block(),), (correction_block(), not_seen_block()), (qr_block(),))
    if form == "strip-4":
        panels = ((contact_block(),), (correction_block(),), (not_seen_block(),), (qr_block(),), (contact_block(),))
    sides = tuple(CardSide(name=f"panel {number}", blocks=blocks) for number, blocks in enumerate(panels, start=1))
    return replace(card(card_id, form=form, draft=draft), sides=sides, foot=(Text("Revision 3 · 1 Nov 2026"),))


def qr_block(before: str = "https://handbook.example/cards/status.html#") -> CardBlock:
    return block("qr", Qr(before=before, says="Scan, or look this code up:"), title="Is this card current?")


def index_card(card_id: str = "well-index", punch: str = "top-left") -> Card:
    """An index card with a hole."""
    front, back = (alarm_block(), contact_block()), (correction_block(), qr_block())
    return replace(card(card_id, front, back, form="3x5in"), punch=punch)
