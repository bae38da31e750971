"""The cards of a starter, one for each role that an area needs."""

from collections.abc import Iterator

from builder.program.languages import is_right_to_left
from builder.starters.trades import FLAME, Place
from builder.starters.writing import INVENTED, PUMPED, Wanted, quoted

FEW = 4
"""Channels whose alarms fit on a card of A7."""


def cards(area: Place, wanted: Wanted) -> Iterator[tuple[str, str]]:
    """A card for each role that the area needs."""
    head = f"{INVENTED}area: {area.id}\nlanguages: {wanted.tags}\n"
    channels = wanted.trade.sensors_in(area)
    room = any(is_right_to_left(tag) for tag in wanted.languages)

    def card(role: str, title: str, model: str, form: str, sides: str) -> tuple[str, str]:
        name = f"{area.id}-{role}"
        about = f"id: {name}\ntitle: {quoted(title)}\naudience: {role}\nmodel: {model}{area.own}\nformat: {form}\n"
        return name, f"{head}{about}{sides}"

    yield card("entrant", area.name, wanted.models[0], "A7" if len(channels) <= FEW and not room else "A6", (
        "front:\n  - {block: alarm-actions}\n  - {block: contacts}\nback:\n  - {block: duties}\n"
        "  - block: before-use\n    steps:\n"
        "      - Bump test done today? If not, do not enter.\n      - Wear it on the chest, outside clothing.\n"
        "  - {block: not-seen}\n"
    ))  # fmt: skip
    if FLAME in area.activities:
        yield card("hot-work-watch", f"{area.name}, fire watch", PUMPED, "A6", (
            "front:\n  - {block: alarm-actions}\n  - {block: contacts}\nback:\n  - {block: duties}\n"
            "  - {block: not-seen}\n"
        ))  # fmt: skip
    if not area.entered:
        return
    yield card("attendant", f"{area.name}, at the opening", PUMPED, "A6", (
        "front:\n  - {block: duties}\n  - {block: contacts}\nback:\n  - {block: limits}\n"
    ))  # fmt: skip
    yield card("tester", f"{area.name}, test before entry", PUMPED, "A6-folded" if room else "A6", (
        _panels("alarm-actions contacts", "test-order", "duties hose", "not-seen") if room else
        "front:\n  - {block: alarm-actions}\n  - {block: contacts}\n  - {block: not-seen}\n"
        "back:\n  - {block: test-order}\n  - {block: hose}\n  - {block: duties}\n"
    ))  # fmt: skip
    toxic = [name for name in channels if name not in ("flammable", "oxygen")]
    yield card("rescue", f"{area.name}, rescue", PUMPED, "A6", (
        "front:\n  - {block: duties}\n  - block: rescue\n    stops: [flammable.high, oxygen.high]\n"
        f"    goes-on: [oxygen.low, flammable.low, {', '.join(toxic)}]\n"
        "    turn-back: to be entered by who leads the rescue\n  - {block: contacts}\n"
        "back:\n  - {block: hose}\n  - {block: not-seen}\n"
    ))  # fmt: skip


def _panels(*panels: str) -> str:
    """The panels of a folded card, each with blocks that need no more than their name."""
    blocks = (f"  - blocks: [{', '.join(f'{{block: {name}}}' for name in names.split())}]\n" for names in panels)
    return f"panels:\n{''.join(blocks)}"
