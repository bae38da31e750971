"""Charts of invented figures, of the demo's content and of the smallest site; and a reader of the pictures."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from builder.base.rounding import Direction, Rounding
from builder.pages.blocks import Axis, Chart, Line
from builder.render.svg import BOOK, PAPER, chart_svg
from tests.conftest import DAY, DEMO, MINIMAL
from tests.render.samples import figure
from tests.shared import judged_once

SVG = "{http://www.w3.org/2000/svg}"
SHOWN = (1, 2, 5, 10)


@dataclass(frozen=True)
class Site:
    program: object
    ledger: object


def site_of(folder: Path) -> Site:
    judged = judged_once(folder, DAY)
    return Site(judged.program, judged.ledger)


@pytest.fixture(scope="session")
def demo_site():
    return site_of(DEMO)


@pytest.fixture(scope="session")
def small_site():
    return site_of(MINIMAL)


def true_figures(**factors: Fraction):
    """Displayed readings, and the true ones of each gas, up to the whole step and capped as the site's are."""
    made = {f"shown.{n}": figure(f"shown.{n}", str(n), "%LEL") for n in SHOWN}
    up = Rounding(direction=Direction.UP, step=Fraction(1), cap=Fraction(100), why="a hazard")
    for gas, factor in factors.items():
        for n in SHOWN:
            exact = n * factor
            text = "over 100" if exact > 100 else str(up.apply(exact))
            one = figure(f"true.{gas}.{n}", "0", "%LEL")
            made[one.key] = replace(one, exact=exact, text=text, rounding=up)
    return made


def true_chart(*gases: str, names: dict[str, str] | None = None, title: str = "Readings"):
    lines = tuple(
        Line((names or {}).get(gas, gas), tuple((f"shown.{n}", f"true.{gas}.{n}") for n in SHOWN), from_zero=True)
        for gas in gases
    )
    return Chart(title, "Up, then left.", Axis("Display shows", "%LEL"), Axis("Really there", "%LEL"), lines)


@dataclass(frozen=True)
class Picture:
    """What can be read off an SVG text, by its own marks alone."""

    text: str

    @property
    def root(self):
        return ET.fromstring(self.text)  # noqa: S314 - our own text

    def all(self, name: str, part: str = ""):
        found = self.root.iter(f"{SVG}{name}")
        return [one for one in found if not part or part in one.get("class", "").split()]

    def paths(self, part: str):
        return [
            [tuple(float(number) for number in pair.split(",")) for pair in one.get("points").split()]
            for one in self.all("polyline", part)
        ]

    def words(self, part: str):
        return [(one.text, float(one.get("x")), float(one.get("y"))) for one in self.all("text", part)]

    def grid(self):
        """Places of the horizontal and of the vertical grid lines."""
        across, along = [], []
        for one in self.all("path", "grid"):
            if level := re.fullmatch(r"M[\d.]+ ([\d.]+)H[\d.]+", one.get("d")):
                across.append(float(level[1]))
            else:
                along.append(float(re.match(r"M([\d.]+) ", one.get("d"))[1]))
        return across, along


def number(text: str) -> float:
    return float(text.replace("\u202f", ""))


@pytest.fixture
def drawn():
    def draw(chart, figures, size=BOOK, look=PAPER, name="c"):
        return Picture(chart_svg(chart, figures, size, look, name))

    return draw
