"""The files of a starter: commented content that builds at once."""

import re
from collections.abc import Iterable
from datetime import date, timedelta
from pathlib import Path

from builder.render.templates import templates_folder
from builder.starters.cards import cards
from builder.starters.setpoints import lists_for, setpoints
from builder.starters.trades import KINDS, REACTIVE, Kind, Place, Trade
from builder.starters.writing import CONFIRM, INVENTED, MODELS, PUMPED, Wanted, quoted

SCHEMAS = ".schema"
"""Folder beside the content that readers pass over and editors look into."""


def starter_files(wanted: Wanted) -> dict[str, str]:
    """Path below the new folder -> text."""
    kinds = [KINDS[name] for name in wanted.trade.every_channel]
    files = {
        "site.yaml": INVENTED + _text("site.yaml", wanted),
        "gases.yaml": _gases(wanted.trade, kinds),
        "sensors.yaml": _sensors(kinds),
        "models.yaml": INVENTED + "models:\n" + "".join(_models(own, wanted) for own in wanted.trade.sets),
        "areas.yaml": _areas(wanted),
        "setpoints.yaml": setpoints(kinds, wanted),
        "cylinders.yaml": _cylinders(kinds, wanted.day),
        "checks.yaml": INVENTED + _text("checks.yaml", wanted),
        "confirm.yaml": _text("confirm.yaml", wanted),
        "README.md": _text("README.md", wanted),
        "pages/home.md": _text("home.md", wanted),
        "pages/cautions.md": _text("cautions.md", wanted),
        "procedures/bump-test.md": _text("bump-test.md", wanted),
        "procedures/alarm-response.md": _text("alarm-response.md", wanted),
    }
    if wanted.inventory:
        files["inventory.csv"] = wanted.inventory
    else:
        files["inventory.yaml"] = _inventory(wanted)
    count = files["confirm.yaml"].count("- what:")
    files["site.yaml"] += f"to-confirm: {count}               # so many entries of confirm.yaml are to be signed\n"
    for area in wanted.trade.areas:
        files |= {f"cards/{name}.yaml": text for name, text in cards(area, wanted)}
    beside = {f"{SCHEMAS}/{name}": text for name, text in schemas().items()}
    return {path: editor_line(path) + text for path, text in files.items()} | beside


def editor_line(path: str) -> str:
    """The line by which an editor finds the schema of a structured file; it lies beside the content."""
    if not path.endswith(".yaml"):
        return ""
    folder, _, name = path.rpartition("/")
    beside = "../" if folder else ""
    return f"# yaml-language-server: $schema={beside}{SCHEMAS}/{folder or name.removesuffix('.yaml')}.json\n"


def schemas() -> dict[str, str]:
    """File name -> text of the schemas that ship."""
    shipped = sorted((Path(templates_folder()) / "schema").glob("*.json"))
    return {path.name: path.read_text(encoding="utf-8") for path in shipped}


def _text(name: str, wanted: Wanted) -> str:
    """A text of ``templates/starter`` with what was asked for in place of its words in capitals."""
    text = (Path(templates_folder()) / "starter" / name).read_text(encoding="utf-8")
    kinds = (KINDS[name] for name in wanted.trade.every_channel)
    surveyed = (quoted(f"the hazards of {area.name} in areas.yaml") for area in wanted.trade.areas)
    words = {
        "SITE": wanted.name,
        "NAME": quoted(wanted.name),
        "SHORT": short(wanted.name),
        "FIRST": wanted.trade.areas[0].id,
        "DAY": wanted.day.isoformat(),
        "PLACE": wanted.place,
        "LISTS": ", ".join(lists_for(wanted.place)),
        "TAGS": wanted.tags,
        "PAPER": wanted.paper,
        "WINDOWS": "\n      ".join(f"{kind.channel}: {kind.window}" for kind in kinds),
        "HAZARDS": "\n  ".join(f'- what: {what}\n    against: "your own survey of it"' for what in surveyed),
    }
    return re.sub("|".join(words), lambda found: words[found[0]], text)  # at once: a name may hold such a word


def short(name: str) -> str:
    """Two to four capital letters: initials, else the first letters, else a word to be replaced."""
    letters = [re.sub("[^A-Z]", "", text.upper()) for text in ("".join(word[:1] for word in name.split()), name)]
    return next((found[:4] for found in letters if len(found) > 1), "SITE")


def _gases(trade: Trade, kinds: Iterable[Kind]) -> str:
    named = [gas.removesuffix("+") for area in trade.areas for gas, _ in area.hazards]
    every = dict.fromkeys(["methane", *named, *(kind.shows for kind in kinds)])
    return INVENTED + "gases:\n" + "".join(f"  - id: {gas}\n" for gas in every)


def _sensors(kinds: Iterable[Kind]) -> str:
    """Factors for other gases are left out: only the manual has them, and a finding asks for those that are needed."""
    made = [
        f"  - id: {kind.id}\n    name: {kind.name}\n    principle: {kind.principle}\n    channel: {kind.channel}\n"
        f"    shows: {kind.shows}\n    calibrated-with: {kind.shows}\n{kind.more}    life: {kind.life}      {CONFIRM}\n"
        for kind in kinds
    ]
    return (
        f"{INVENTED}# Response factors and cross-sensitivities come from the manual; none are given here.\nsensors:\n"
        + "".join(made)
    )


def _models(own: str, wanted: Wanted) -> str:
    """The models of one set of sensors; ``own`` ends their ids where they are for one area."""
    kinds = [KINDS[name] for name in wanted.trade.sets[own]]
    rows = "".join(
        f"      - {{position: {at}, sensor: {kind.id}, full-scale: {kind.full_scale}, resolution: {kind.resolution}, "
        f"t90: {kind.t90}}}\n"
        for at, kind in enumerate(kinds, start=1)
    )
    common = f"    positions:      {CONFIRM}: from the manual, line by line\n{rows}    alarm-fires: at-or-above\n"
    after = (
        "    battery: {runtime: 10 h}\n    log: {capacity: 100 h, download-every: 7 days}\n"
        "    works-between: {from: -10 °C, to: 40 °C}\n    manual: to be entered\n"
    )
    area = own.replace("-", " ")
    pump = "    pump: {flow: 0.4 L/min, longest-hose: 10 m}\n    hose: {bore: 3 mm, length: 10 m}\n"
    return "".join(
        f"  - id: {model}{own}\n    name: {MODELS[model]}{area and f',{area}'}\n{common}"
        f"{pump * (model == PUMPED)}{after}"
        for model in wanted.models
    )


def _areas(wanted: Wanted) -> str:
    return (
        f"{INVENTED}# Hazards that the trade is known for ({wanted.trade.source}).\n"
        "# Your own survey decides: add, take away, say why.\nareas:\n"
        + "".join(_area(area, wanted) for area in wanted.trade.areas)
    )


def _area(area: Place, wanted: Wanted) -> str:
    hazards = "".join(f"      - {_hazard(gas, why)}\n" for gas, why in area.hazards)
    deep = "    depth: 8 m\n    hose: 10 m\n    rescue-within: 4 min\n" if area.entered else ""
    carry = f"[{', '.join(f'{model}{area.own}' for model in reversed(wanted.models))}]"
    note = f"    note: {quoted(area.note)}\n" if area.note else ""
    return (
        f"  - id: {area.id}\n    name: {area.name}\n    activities: [{', '.join(area.activities)}]\n"
        f"    carry: {carry}\n    hazards:      {CONFIRM}: by your own survey\n{hazards}    temperature: 15 °C\n"
        f"{deep}{note}"
    )


def _hazard(gas: str, why: str) -> str:
    if gas.startswith("oxygen"):
        return f"{{gas: oxygen, risk: {'both' if gas.endswith('+') else 'deficiency'}, why: {quoted(why)}}}"
    return f"{{gas: {gas}, why: {quoted(why)}}}"


def _cylinders(kinds: Iterable[Kind], day: date) -> str:
    """One bottle for what keeps together, one each for what does not."""
    mixed = [kind for kind in kinds if kind.channel not in REACTIVE]
    groups = [("mixed", mixed), *((kind.channel, [kind]) for kind in kinds if kind.channel in REACTIVE)]
    return INVENTED + "cylinders:\n" + "".join(_cylinder(name, group, day) for name, group in groups if group)


def _cylinder(name: str, kinds: Iterable[Kind], day: date) -> str:
    expires = (day + timedelta(days=360)).isoformat()
    parts = "".join(f"      - {kind.checked_with}\n" for kind in kinds)
    return (
        f"  - id: {name}-gas\n    lot: to be entered\n    expires: {expires}      {CONFIRM}: from the label\n"
        f"    certificate: to be entered\n    balance: nitrogen\n    components:      {CONFIRM}: from the certificate\n"
        f"{parts}"
        f"    volume: 1 L\n    pressure: 30 bar\n    measured: {day.isoformat()}      {CONFIRM}: when it was read\n"
        "    minimum-pressure: 2 bar\n    flow: 0.5 L/min\n"
        "    regulator: [demand-flow, fixed-flow]\n    for: [bump-test, calibration]\n"
    )


def _inventory(wanted: Wanted) -> str:
    last = f"last: {{bump-test: {wanted.day.isoformat()}, calibration: {wanted.day.isoformat()}}}"
    first = {area.own: area.id for area in reversed(wanted.trade.areas)}
    made, at = "", 0
    for own, channels in wanted.trade.sets.items():
        alone = [channel for channel in channels if channel in REACTIVE]
        bottles = ", ".join(["mixed-gas", *(f"{channel}-gas" for channel in alone)])
        for model in wanted.models if own else (wanted.models[0], *wanted.models):
            at += 1
            made += (
                f"  - id: X{at}\n    model: {model}{own}\n    serial: to be entered {at}{model[0].upper()}\n"
                f"    state: in-use\n    area: {first[own]}\n    cylinder: [{bottles}]\n"
                f"    {last}      {CONFIRM}\n"
            )
    return (
        f"{INVENTED}# Or a table: inventory.csv or inventory.xlsx; maps.yaml says what its heads mean.\nunits:\n{made}"
    )
