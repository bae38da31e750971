"""What docs name in running text is there: commands, their options, keys of content, files, links, targets of make.

Expected is what the code, the schemas and the Makefile have; nothing here is copied from the docs.
"""

import json
import re
import shlex
from functools import cache
from importlib import import_module
from pathlib import Path

import click
import pytest

from builder.cli.main import COMMANDS
from builder.reference.rules import places

ROOT = Path(__file__).parent.parent.parent
DOCS = [*sorted(ROOT.glob("docs/*.md")), ROOT / "README.md", ROOT / "SECURITY.md"]
SPAN = re.compile(r"`([^`\n]+)`")
FENCE = re.compile(r"^```\w*\n(.*?)^```", re.DOTALL | re.MULTILINE)
LINK = re.compile(r"\[[^\]]*\]\(([^)#\s:]*)(?:#([^)\s]*))?\)")
NO_KEYS = {"procedure", "unit", "remove"}
"""Beginnings of links in prose, and the word that takes something inherited away."""
OF_READERS = re.compile(r"templates/(?:NAME|alarms-at-a-glance|gather|logo)\.|content/extended")
"""Files that a site or a release has and this folder has not."""


@cache
def options(command):
    module = import_module(f"builder.cli.{COMMANDS[command][0]}")
    found = next(one for one in vars(module).values() if isinstance(one, click.Command) and one.name == command)
    return {name for option in found.params for name in (*option.opts, *option.secondary_opts)} | {"--help", "-h"}


def calls(text):
    """Every call of the command, in spans and blocks, without its first word."""
    lines = [line for block in FENCE.findall(text) for line in block.replace("\\\n", " ").splitlines()]
    for line in (*SPAN.findall(text), *lines):
        found = re.match(r"(?:- |\$ )?(?:\S*/)?handbook (.*)", line.strip())
        if found:
            yield found[1].partition("  #")[0].partition(" > ")[0]


@pytest.mark.parametrize("path", DOCS, ids=lambda path: path.name)
def test_every_command_and_option_is_there(path):
    for call in calls(path.read_text(encoding="utf-8")):
        command, *words = shlex.split(call)
        if command == "COMMAND":  # any of them
            continue
        if command.startswith("-"):
            assert command in ("--help", "--version", "-h"), call
            continue
        assert command in COMMANDS, call
        named = {word.partition("=")[0] for word in words if re.match(r"-{1,2}[a-z]", word)}
        assert named <= options(command), call


def test_every_place_that_a_site_can_name_is_listed():
    text = (ROOT / "docs/content.md").read_text(encoding="utf-8").partition("Places: ")[2].partition("\n\n")[0]
    listed, rest = set(SPAN.findall(text)), {name for name in places() if not name.startswith("us-metal-mine-")}
    assert listed - {"us-metal-mine-", "i-a"} == rest
    assert {"us-metal-mine-", "i-a"} < listed


@cache
def keys_of_content():
    found = set()

    def gather(node):
        if isinstance(node, dict):
            properties = node.get("properties")
            found.update(properties if isinstance(properties, dict) else ())
            node = list(node.values())
        for part in node if isinstance(node, list) else ():
            gather(part)

    for path in (ROOT / "templates" / "schema").glob("*.json"):
        gather(json.loads(path.read_text(encoding="utf-8")))
    return found


@pytest.mark.parametrize("path", DOCS, ids=lambda path: path.name)
def test_every_key_is_there(path):
    named = re.findall(r"`([a-z][a-z-]*):(?: [^`\n]*)?`", path.read_text(encoding="utf-8"))
    assert set(named) - NO_KEYS <= keys_of_content()


@pytest.mark.parametrize("path", DOCS, ids=lambda path: path.name)
def test_every_file_link_and_target_is_there(path):
    text = path.read_text(encoding="utf-8")
    files = re.findall(r"`((?:builder|tests|docs|templates|content|\.ci)/[\w./-]+)`", text)
    assert [name for name in files if not OF_READERS.match(name) and not (ROOT / name).exists()] == []
    prose = FENCE.sub("", SPAN.sub("", text))
    for name, anchor in LINK.findall(prose):
        target = path.parent / name if name else path
        assert target.exists(), name
        if anchor and target.suffix == ".md":
            heads = re.findall(r"^#+ (.*)$", target.read_text(encoding="utf-8"), re.MULTILINE)
            slugs = {re.sub(r"[^\w -]", "", head.lower()).replace(" ", "-") for head in heads}
            assert anchor in slugs, f"{name}#{anchor}"
    targets = set(re.findall(r"^([a-z-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    assert set(re.findall(r"`make ([a-z-]+)", text)) <= targets


def test_commands_are_found_in_the_docs():
    """The checks above look at something."""
    told = [call for path in DOCS for call in calls(path.read_text(encoding="utf-8"))]
    assert {call.split()[0] for call in told} >= set(COMMANDS)
    assert len(keys_of_content()) > 100
