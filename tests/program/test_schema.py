"""The shipped JSON Schemas: current, sound, and judged by an independent validator (the library `jsonschema`)."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from builder.load.listing import INVENTORIES, OPTIONAL, REQUIRED
from builder.program.schema import schema_name, schemas
from builder.starters.files import starter_files
from builder.starters.trades import TRADES
from builder.starters.writing import Wanted
from tests.conftest import ROOT

SHIPPED = ROOT / "templates" / "schema"
CONTENTS = ("content", "tests/sites/minimal+tests/sites/more", "tests/sites/own")
SITES = ("content", "tests/sites/minimal", "tests/sites/more")


class AsWritten(yaml.CSafeLoader):
    """YAML as an editor reads it: days and clock times stay text (YAML 1.2, core schema)."""


def _core(names, words, kind):
    AsWritten.add_implicit_resolver(kind, re.compile(words), names)


AsWritten.yaml_implicit_resolvers = {}
_core(list("tTfF"), r"^(?:true|True|TRUE|false|False|FALSE)$", "tag:yaml.org,2002:bool")
_core([*"~nN", ""], r"^(?:~|null|Null|NULL|)$", "tag:yaml.org,2002:null")
_core(list("-+0123456789"), r"^[-+]?[0-9]+$", "tag:yaml.org,2002:int")
_core(list("-+0123456789."), r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$", "tag:yaml.org,2002:float")


def read(text):
    return with_text_keys(yaml.load(text, AsWritten))  # noqa: S506 - a safe loader with fewer types


def with_text_keys(value):
    """Keys as JSON has them, which are texts: an alarm's ``true:`` is no yes."""
    if isinstance(value, dict):
        return {key if isinstance(key, str) else json.dumps(key): with_text_keys(part) for key, part in value.items()}
    return [with_text_keys(part) for part in value] if isinstance(value, list) else value


def faults(name, text):
    schema = json.loads((SHIPPED / f"{schema_name(name)}.json").read_text(encoding="utf-8"))
    return [
        f"{fault.json_path}: {fault.message[:90]}" for fault in Draft202012Validator(schema).iter_errors(read(text))
    ]


def without_examples(schema):
    """Values of the demo come and go; what readers ask for decides."""
    if isinstance(schema, dict):
        kept = {key: without_examples(part) for key, part in schema.items()}
        return {key: part for key, part in kept.items() if key != "examples" or not isinstance(schema[key], list)}
    return [without_examples(part) for part in schema] if isinstance(schema, list) else schema


def test_shipped_schemas_are_what_readers_ask_for(monkeypatch):
    monkeypatch.chdir(ROOT)
    made = {f"{name}.json": without_examples(schema) for name, schema in schemas(CONTENTS).items()}
    shipped = {path.name: json.loads(path.read_text(encoding="utf-8")) for path in SHIPPED.glob("*.json")}
    assert made == without_examples(shipped), "python -m builder.program.schema templates/schema " + " ".join(CONTENTS)


def test_every_structured_file_has_a_sound_schema():
    files = [name for name in (*REQUIRED, *INVENTORIES, *OPTIONAL) if name.endswith(".yaml")]
    wanted = {
        schema_name(name)
        for name in (*files, "cards/a.yaml", "revisions/1.yaml", "lists/a.yaml", "translations/a.yaml")
    }
    assert {path.stem for path in SHIPPED.glob("*.json")} == wanted
    for path in SHIPPED.glob("*.json"):
        Draft202012Validator.check_schema(json.loads(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("site", SITES)
def test_good_content_is_accepted(site):
    files = sorted((ROOT / site).rglob("*.yaml"))
    assert len(files) > 4
    found = {path.name: faults(path.relative_to(ROOT / site).as_posix(), path.read_text("utf-8")) for path in files}
    assert {name: told for name, told in found.items() if told} == {}


@pytest.mark.parametrize("trade", TRADES, ids=lambda trade: trade.id)
def test_starters_are_accepted_and_lead_to_their_schemas(trade):
    files = starter_files(Wanted(trade=trade, name="Works", place=trade.place, paper="A4", day=date(2026, 11, 28)))
    for name, text in files.items():
        if name.endswith(".yaml"):
            assert faults(name, text) == [], name
            line = text.splitlines()[0].partition("$schema=")[2]
            target = Path("/site", name).parent.joinpath(line).resolve().relative_to("/site").as_posix()
            assert target in files, (name, line)


BROKEN = (
    ("areas.yaml", "id: pit", "id: Pit Room"),
    ("areas.yaml", "depth: 4 m", "depth: 4 kg"),
    ("areas.yaml", "depth: 4 m", "depht: 4 m"),
    ("areas.yaml", "hose: 6 m", "hose: 6"),
    ("areas.yaml", "    name: Valve pit\n", ""),
    ("areas.yaml", "risk: deficiency", "risk: maybe"),
    ("areas.yaml", "activities: [confined-space-entry]", "activities: confined-space-entry"),
    ("areas.yaml", "temperature: 12 °C", "temperature: 12 ppm"),
    ("checks.yaml", "kind: bump-test", "kind: bumptest"),
    ("checks.yaml", "gas-time: 60 s", "gas-time: 60 m"),
    (
        "checks.yaml",
        "    source: Invented manual\n    gas-time: 60 s",
        "    sauce: Invented manual\n    gas-time: 60 s",
    ),
    ("checks.yaml", "guard-band: cylinder-uncertainty", "guard-band: some"),
    ("cylinders.yaml", "expires: 2027-03-31", "expires: 31.03.2027"),
    ("cylinders.yaml", "pressure: 34 bar", "pressure: 34"),
    ("cylinders.yaml", "value: 500 ppm", "value: 500 s"),
    ("cylinders.yaml", "flow: 0.5 L/min", "flow: 0,5 L/min"),
    ("cylinders.yaml", "balance: air", "balance: [air]"),
    ("site.yaml", "paper: A4", "paper: A5"),
    ("site.yaml", "name:", "nmae:"),
    ("inventory.yaml", "  - id:", "  - ident:"),
    ("revisions/1.yaml", "number: 1", "number: first"),
)


@pytest.mark.parametrize(("name", "old", "new"), BROKEN, ids=lambda part: part.strip()[:30])
def test_broken_content_is_not_accepted(name, old, new):
    text = (ROOT / "tests" / "sites" / "minimal" / name).read_text(encoding="utf-8")
    assert faults(name, text) == []
    assert old in text
    assert faults(name, text.replace(old, new, 1)) != []
