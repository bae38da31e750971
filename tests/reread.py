"""Files of a site that are read anew only where they, or what readers knew before, have changed.

A reader of a file is a function of its nodes and of what ``Faults`` knows by then: the languages, what stands in
translations, and the ids defined so far. Where the nodes are the same and the rest is equal to another time that no
fault was met, what was read then is handed back, and ``Faults`` is told again what the reader told it.
``tests/figures/test_remembered.py`` holds what comes of it against plain reading.
"""

from __future__ import annotations

from collections import defaultdict
from contextlib import contextmanager
from dataclasses import dataclass
from functools import wraps
from itertools import islice

import pytest

from builder.program import read as reading
from builder.program.faults import Faults


def of_node(node, faults, *others):
    return node, faults, others


def of_file(files, faults, key, what, *_):
    return files.get(f"{key}.yaml"), faults, what


READERS = {
    "each": of_file,
    "read_inventory": of_node,
    "read_procedure": of_node,
    "read_setpoints": of_node,
    "read_site": of_node,
}
"""Those of files in which there is much to read, with what they are given: the nodes of a file, and what is beside."""
KNOWN = {"languages", "said", "pictures"}
LISTS = ("_references", "quoted", "literals", "localized")
SETS = ("_overlooked", "_allowed")
BY_KIND = ("_defined", "_alike")
assert vars(Faults()).keys() == {*KNOWN, *LISTS, *SETS, *BY_KIND, "unentered", "problems", "_noted", "watch"}, "no more"


@dataclass(frozen=True)
class Reading:
    """What a reader was given and knew, what it made of it, and what it told."""

    node: object
    others: object
    known: tuple
    made: object
    told: dict


def known(faults):
    """All that a reader may ask of what was read before."""
    ids = {kind: tuple(names) for kind, names in faults._defined.items()}
    return faults.languages, faults.said, faults.pictures, ids, frozenset(faults._overlooked)


def sizes(faults):
    return {name: len(getattr(faults, name)) for name in (*LISTS, "unentered")} | {
        (name, kind): len(ids) for name in BY_KIND for kind, ids in getattr(faults, name).items()
    }


def told_since(faults, before):
    told = {name: getattr(faults, name)[before[name] :] for name in LISTS}
    told |= {name: frozenset(getattr(faults, name)) for name in SETS}
    told["unentered"] = dict(islice(faults.unentered.items(), before["unentered"], None))
    for name in BY_KIND:
        kinds = getattr(faults, name).items()
        told[name] = {kind: dict(islice(ids.items(), before.get((name, kind), 0), None)) for kind, ids in kinds}
    return told


def tell_again(faults, told):
    for name in LISTS:
        getattr(faults, name).extend(told[name])
    for name in (*SETS, "unentered"):
        getattr(faults, name).update(told[name])
    for name in BY_KIND:
        for kind, ids in told[name].items():
            getattr(faults, name).setdefault(kind, {}).update(ids)


def rereading(read, parted):
    """A reader that reads nothing twice."""
    readings = defaultdict(list)

    @wraps(read)
    def reread(*given):
        node, faults, others = parted(*given)
        if faults.problems:
            return read(*given)
        by_then = known(faults)
        for one in readings[id(node)]:  # each holds its node, so no other has its id
            if (one.others, one.known) == (others, by_then):
                tell_again(faults, one.told)
                return one.made
        before = sizes(faults)
        made = read(*given)
        if not faults.problems:
            readings[id(node)].append(Reading(node, others, by_then, made, told_since(faults, before)))
        return made

    return reread


REREADING = {name: rereading(getattr(reading, name), parted) for name, parted in READERS.items()}


@contextmanager
def reread_files():
    """Programs are read through what remembers."""
    with pytest.MonkeyPatch.context() as patched:
        for name, made in REREADING.items():
            patched.setattr(reading, name, made)
        yield
