"""The site's script files: code as it lies in ``templates/js``, and data as calls that hand it over.

Data comes as script files too, since a page read from a memory stick may load scripts but not fetch data.
"""

from __future__ import annotations

import json
import posixpath
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from builder.pages.handbook.entries import KINDS, Entry
from builder.pages.handbook.in_place import Derivation
from builder.pages.handbook.reader_data import ReaderData
from builder.pages.handbook.sections import group_of
from builder.render.templates import templates_folder

FOLDER = "assets"
SEARCH = f"{FOLDER}/search.js"
DERIVATION = f"{FOLDER}/derivation.js"
EXACT = f"{FOLDER}/exact.js"
TOOLS = f"{FOLDER}/tools.js"
EVERYWHERE = (SEARCH, DERIVATION)
"""Scripts that every page loads; what is rarely asked for is loaded by them."""
INDEX = f"{FOLDER}/search-index.js"
DERIVATIONS = f"{FOLDER}/derivations"
MOST_PLACES = 24
"""So many pages that print a figure are named in place; the full list is on the derivation's own page."""


def script_assets() -> dict[str, bytes]:
    """Site path -> bytes of the site's code."""
    folder = templates_folder() / "js"
    return {f"{FOLDER}/{path.name}": path.read_bytes() for path in sorted(folder.glob("*.js"))}


def _handed_over(name: str, value: Any) -> bytes:
    """A script that hands ``value`` over under ``name``; what could end a line or a tag is escaped."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    for sign in ("<", "\u2028", "\u2029"):
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return f'"use strict";\nhandbook.take({json.dumps(name)},{text});\n'.encode()


def reader_scripts(data: ReaderData, hrefs: Mapping[str, str]) -> dict[str, bytes]:
    """Site path -> bytes of the data that the site's code asks for."""
    return {
        INDEX: index_script(data.entries, hrefs, data.keys),
        **derivation_scripts(data.derivations, hrefs),
    }


# ---- search ------------------------------------------------------------------


def index_script(entries: Sequence[Entry], hrefs: Mapping[str, str], keys: Iterable[str]) -> bytes:
    """The search index. Paths of a kind share their beginning; figures of like groups share their list of endings.

    :param keys: keys of every figure.
    """
    kinds = [kind for kind, _ in KINDS]
    starts = {kind: _start([hrefs[entry.reference] for entry in entries if entry.kind == kind]) for kind in kinds}
    lists: dict[str, int] = {}
    groups: dict[str, list[str]] = {}
    for key in keys:
        group = group_of(key)
        groups.setdefault(group, []).append(key.removeprefix(f"{group}."))
    figures = [[group, lists.setdefault(" ".join(tails), len(lists))] for group, tails in groups.items()]
    return _handed_over(
        "index",
        {
            "kinds": [[word, starts[kind]] for kind, word in KINDS],
            "entries": [_row(entry, kinds.index(entry.kind), starts[entry.kind], hrefs) for entry in entries],
            "tails": list(lists),
            "figures": figures,
        },
    )


def _start(paths: list[str]) -> str:
    """The folder that all of them lie in, empty for the site itself."""
    return posixpath.commonpath([posixpath.dirname(path) for path in paths]) if paths else ""


def _row(entry: Entry, kind: int, start: str, hrefs: Mapping[str, str]) -> list[Any]:
    """Kind, title, other words, and the path below the kind's folder where it is not the title's own."""
    path = hrefs[entry.reference].removeprefix(start).removeprefix("/" if start else "")
    row: list[Any] = [kind, entry.title, "|".join(entry.words)]
    return row if path == f"{entry.title}.html" else [*row, path]


# ---- derivations -------------------------------------------------------------


def derivation_scripts(groups: Mapping[str, Sequence[Derivation]], hrefs: Mapping[str, str]) -> dict[str, bytes]:
    """Site path -> the derivations of one group of figures."""
    return {
        f"{DERIVATIONS}/{name}.js": _handed_over(f"derivations:{name}", {d.key: _told(d, hrefs) for d in found})
        for name, found in groups.items()
    }


def _told(made: Derivation, hrefs: Mapping[str, str]) -> dict[str, Any]:
    """One derivation; what is empty is left out."""
    places = [[title, hrefs[on]] for on, title in made.printed_on if on in hrefs]
    told = {
        "label": made.label,
        "printed": made.printed,
        "exact": made.exact,
        "rounding": made.rounding,
        "formula": made.formula,
        "id": made.formula_id,
        "source": made.source,
        "note": made.note,
        "unread": 0 if made.read else 1,
        "from": [[part.label, part.value, part.key, part.found, 1 if part.read else 0] for part in made.made_from],
        "into": list(made.used_by[:MOST_PLACES]),
        "into-all": len(made.used_by),
        "on": places[:MOST_PLACES],
        "on-all": len(places),
    }
    return {name: value for name, value in told.items() if value}
