"""What the builder is made with: ``supply.py licences > docs/licences.md`` and ``supply.py bom > build/bom.json``.

Both are of ``requirements.lock``, with licences as the installed packages state them; equal locks give equal bytes. The
bill of materials is CycloneDX 1.6 (ECMA-424).
"""

from __future__ import annotations

import json
import re
import sys
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, metadata, version
from pathlib import Path

ROOT = Path(__file__).parents[1]
LOCKED = re.compile(r"^([a-z0-9.-]+)==(\S+)(.*(?:\n    .*)*)", re.MULTILINE)
HASH = re.compile(r"--hash=sha256:([0-9a-f]{64})")
ELSEWHERE = {"brotlicffi": "MIT", "idna": "BSD-3-Clause"}
"""Packages for other Pythons than the one that is run, with their licences."""
SPDX = {
    "BSD License": "BSD-3-Clause",
    "BSD": "BSD-3-Clause",
    "MIT License": "MIT",
    "Apache Software License": "Apache-2.0",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "SIL OFL 1.1": "OFL-1.1",
    "SIL Open Font License 1.1 (OFL-1.1)": "OFL-1.1",
    "GNU General Public License v2 or later (GPLv2+)": "GPL-2.0-or-later",
    "GNU Lesser General Public License v2 or later (LGPLv2+)": "LGPL-2.1-or-later",
    "Mozilla Public License 1.1 (MPL 1.1)": "MPL-1.1",
}
"""How packages word a licence -> its SPDX identifier; one of several may be chosen."""
HEAD = """# Licences of what the builder is made with

Every package of `requirements.lock`, with the licence that it states (SPDX identifiers); `make licences` writes it.
None is copied into the builder. Faces of type are embedded in PDFs and pages that are made, as their licence allows.

| package | licence |
|---|---|
"""


@dataclass(frozen=True)
class Package:
    """A line of the lock."""

    name: str
    version: str
    hashes: tuple[str, ...]

    @property
    def licence(self) -> str:
        """As an SPDX expression.

        :raises KeyError: for a wording that is not known here.
        """
        try:
            told = metadata(self.name)
        except PackageNotFoundError:
            return ELSEWHERE[self.name]
        if told.get("License-Expression"):
            return str(told.get("License-Expression"))
        classifiers = told.get_all("Classifier") or []
        named = [line.rpartition(" :: ")[2] for line in classifiers if line.startswith("License :: ")]
        words = named or [told["License"]]
        return " OR ".join(SPDX.get(word, word) if word in SPDX.values() else SPDX[word] for word in words)


def locked(name: str = "requirements.lock") -> list[Package]:
    """Every package of a lock, by name."""
    text = (ROOT / name).read_text(encoding="utf-8")
    return [Package(name, number, tuple(HASH.findall(rest))) for name, number, rest in LOCKED.findall(text)]


def licences() -> str:
    """The list for people."""
    return HEAD + "".join(f"| {package.name} | {package.licence} |\n" for package in locked())


def bom() -> str:
    """The list for programs."""
    components = [
        {
            "type": "library",
            "bom-ref": _purl(package),
            "name": package.name,
            "version": package.version,
            "purl": _purl(package),
            "licenses": [{"expression": package.licence}],
            "externalReferences": [
                {
                    "type": "distribution",
                    "url": f"https://pypi.org/project/{package.name}/{package.version}/",
                    "hashes": [{"alg": "SHA-256", "content": one} for one in package.hashes],
                }
            ],
        }
        for package in locked()
    ]
    own = {"type": "application", "name": "detector-handbook", "version": version("detector-handbook")}
    whole = {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {"component": {**own, "licenses": [{"expression": "MIT"}]}},
        "components": components,
    }
    return json.dumps(whole, indent=1, sort_keys=True) + "\n"


def _purl(package: Package) -> str:
    return f"pkg:pypi/{package.name}@{package.version}"


if __name__ == "__main__":
    sys.stdout.write({"licences": licences, "bom": bom}[sys.argv[1]]())
