"""A content folder of any size, made from a small sound one: units, areas, models, cylinders, a year of records.

Everything in it is invented. To write one: ``python -m tests.benchmark.grown OUT --units 2000``.
"""

from __future__ import annotations

import argparse
import csv
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from pathlib import Path
from typing import Any, TypeAlias

import yaml

CONTENT = Path(__file__).parent.parent.parent / "content"
DAY = date(2026, 11, 25)
YESTERDAY = DAY - timedelta(days=1)
MULTIPLIED = ("areas", "models", "cylinders", "setpoints")
LEFT_OUT = ("inventory.yaml", "maps.yaml", "movements", "records", "readback", "wet-well-sign.yaml")
"""What is made anew, or would not fit: a sign names the detectors of its area and has no room for ten times as many."""
CHECKED = ("in-use", "spare")
HEADS = ("unit", "time", "kind", "sensor", "cylinder", "as-found", "as-left", "seconds", "result", "by", "note")
CHECKS = {"calibration": 170, "inspection": 150, "bump-test": 14}
"""Kind of check -> days between two of one unit."""
BY_DAY = ("zero", "flow-block")
"""Checks before each day's use; no row is written of them."""
Thing: TypeAlias = dict[str, Any]
"""A thing as its YAML file has it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How much of each is made, never less than the base has."""

    units: int = 2000
    areas: int = 60
    models: int = 10
    cylinders: int = 200
    days: int = 365
    """Days of records, up to yesterday."""


def grow(base: Path, out: Path, size: Size) -> int:
    """Write the folder ``out``, which must not be there yet; gives the number of rows of its records."""
    shutil.copytree(base, out, ignore=shutil.ignore_patterns(*LEFT_OUT))
    areas = _copies(_things(base, "areas"), size.areas)
    models = _copies(_things(base, "models"), size.models)
    real = [one for one in _things(base, "cylinders") if "volume" in one]
    for one in real:
        one["measured"] = YESTERDAY
        if "certified-on" in one:  # before the first of the records
            one["certified-on"] = YESTERDAY - timedelta(days=size.days)
    cylinders = _copies(real, size.cylinders)
    setpoints = _things(base, "setpoints")
    for area in areas:
        area["carry"] = [made for one in area["carry"] for made in _carried(one, models)]
    for entry in (one for one in setpoints if one["areas"] != "all"):
        entry["areas"] = [area["id"] for area in areas if area["like"] in entry["areas"]]
    units = _units(_things(base, "inventory", "units"), areas, models, cylinders, size.units)
    rows = sorted(
        _rows(base, units, cylinders, {one["id"]: one for one in models}, size),
        key=lambda row: (row["time"], row["unit"]),
    )
    for name, things in zip(MULTIPLIED, (areas, models, cylinders, setpoints), strict=True):
        _write(out / f"{name}.yaml", name, things)
    _write(out / "inventory.yaml", "units", units)
    if (base / "people.yaml").exists():
        _write(out / "people.yaml", "people", [{**one, "from": date(2025, 1, 1)} for one in _things(base, "people")])
    _write_records(out / "records", rows)
    return len(rows)


def _things(base: Path, name: str, root: str = "") -> list[Thing]:
    found: list[Thing] = yaml.load((base / f"{name}.yaml").read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)[
        root or name
    ]
    return found


def _write(path: Path, root: str, things: Sequence[Thing]) -> None:
    bare = [{name: value for name, value in one.items() if name != "like"} for one in things]
    text = yaml.dump({root: bare}, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=200)
    path.write_text(text, encoding="utf-8")


class _Dumper(yaml.SafeDumper):
    """Writes what comes twice twice, as a person does."""

    def ignore_aliases(self, _data: object) -> bool:
        return True


def _copies(things: Sequence[Thing], count: int) -> list[Thing]:
    """At least ``count`` things; each knows which it is ``like``, and a copy has a number behind its id and name."""
    made: list[Thing] = []
    for number in range(max(count, len(things))):
        one = things[number % len(things)]
        turn = number // len(things)
        named: Thing = {"like": one["id"]}
        if turn:
            named["id"] = f"{one['id']}-{turn + 1}"
            if "name" in one:
                named["name"] = f"{_plain(one['name'])} {turn + 1}"
        made.append({**one, **named})
    return made


def _carried(one: str | list[str] | Thing, models: Sequence[Thing]) -> list[list[str]]:
    """One set of the base as sets of the copies of its models, each with each."""
    names = [one] if isinstance(one, str) else one["together"] if isinstance(one, dict) else one
    alike = ([model["id"] for model in models if model["like"] == name] for name in names)
    return [list(made) for made in product(*alike)]


def _plain(name: str | dict[str, str]) -> str:
    return name["en"] if isinstance(name, dict) else name


def _units(
    base: Sequence[Thing], areas: Sequence[Thing], models: Sequence[Thing], cylinders: Sequence[Thing], count: int
) -> list[Thing]:
    """Units like those of the base one after the other, in turn in each place, of each model and at each cylinder."""
    made: list[Thing] = []
    for number in range(count):
        one, turn = base[number % len(base)], number // len(base)
        unit: Thing = {
            "id": f"d-{1000 + number}" if turn else one["id"],
            "model": _turned(models, one["model"], turn),
            "serial": f"TMW-{number * 7919 % 1_000_003:06d}",
            "state": one.get("state", "in-use"),
            **({"area": _turned(areas, one["area"], turn)} if "area" in one else {}),
            **({"pool": one["pool"]} if "pool" in one else {}),
            **({"cylinder": _turned(cylinders, _first(one["cylinder"]), turn)} if "cylinder" in one else {}),
            "last": dict(one.get("last", {})),
        }
        made.append(unit)
    return made


def _first(named: str | Sequence[str]) -> str:
    """The first of the cylinders of a unit."""
    return named if isinstance(named, str) else named[0]


def _turned(things: Sequence[Thing], like: str, turn: int) -> str:
    alike = [one["id"] for one in things if one["like"] == like]
    return str(alike[turn % len(alike)])


# ---- records -----------------------------------------------------------------


def _rows(
    base: Path, units: Sequence[Thing], cylinders: Sequence[Thing], models: dict[str, Thing], size: Size
) -> Iterator[Thing]:
    """A year of good checks of each unit that may be used, at the strengths on its cylinder's label.

    Also writes into ``last`` of each unit what these rows say.
    """
    bottles = {one["id"]: one for one in cylinders}
    sensors = {one["id"]: one for one in _things(base, "sensors")}
    planned = {one["kind"] for one in _things(base, "checks")}
    people = _things(base, "people") if (base / "people.yaml").exists() else []
    for number, unit in enumerate(units):
        if unit["state"] not in CHECKED or "cylinder" not in unit:
            continue
        unit["last"] = {name: YESTERDAY for name in BY_DAY if name in unit["last"]}
        shown = _expected(models[unit["model"]], bottles[unit["cylinder"]], sensors)
        for kind, every in CHECKS.items():
            if kind not in planned:
                continue
            by = next((one["id"] for one in people if kind in one["may"]), "")
            last = number % every
            unit["last"][kind] = YESTERDAY - timedelta(days=last)
            for back in range(last, size.days, every):
                time = f"{YESTERDAY - timedelta(days=back)}T{_clock(kind, number // every)}-06:00"
                row: Thing = {"unit": unit["id"], "time": time, "kind": kind, "result": "pass", "by": by}
                if kind == "inspection":
                    yield row
                for sensor, display in shown.items() if kind != "inspection" else ():
                    seen: Thing = {"sensor": sensor, "cylinder": unit["cylinder"], "as-found": display}
                    yield row | seen | ({"as-left": display} if kind == "calibration" else {"seconds": 12})


def _clock(kind: str, turn: int) -> str:
    """When in the day the check of the ``turn``-th unit of that day begins: bump tests first, then the bench."""
    minutes = (6 * 60 if kind == "bump-test" else 14 * 60 if kind == "calibration" else 18 * 60) + 3 * turn
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def _expected(model: Thing, cylinder: Thing, sensors: dict[str, Thing]) -> dict[str, str]:
    """Sensor -> what it must display in the gas of this cylinder, as the label has it; only sensors the gas is for."""
    parts = {part["gas"]: part for part in cylinder["components"]}
    found: dict[str, str] = {}
    for position in model["positions"]:
        sensor = sensors[position["sensor"]]
        part = parts.get(sensor["calibrated-with"])
        if part:
            written = part.get("label", part["value"]) if sensor["channel"] == "flammable" else part["value"]
            found[sensor["id"]] = str(written).split()[0]
    return found


def _write_records(folder: Path, rows: Sequence[Thing]) -> None:
    """One file a month."""
    folder.mkdir()
    months: dict[str, list[Thing]] = {}
    for row in rows:
        months.setdefault(row["time"][:7], []).append(row)
    for month, found in months.items():
        with (folder / f"{month}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, HEADS, restval="", lineterminator="\n")
            writer.writeheader()
            writer.writerows(found)


def main() -> None:
    """Write a folder of the size asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--base", type=Path, default=CONTENT)
    for name, value in {"units": 2000, "areas": 60, "models": 10, "cylinders": 200, "days": 365}.items():
        parser.add_argument(f"--{name}", type=int, default=value)
    asked = parser.parse_args()
    size = Size(units=asked.units, areas=asked.areas, models=asked.models, cylinders=asked.cylinders, days=asked.days)
    print(f"{grow(asked.base, asked.out, size)} rows of records in {asked.out}")


if __name__ == "__main__":
    main()
