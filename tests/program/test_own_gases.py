"""A gas that the library does not have, entered with what the site knows of it."""

from __future__ import annotations

from datetime import date

import pytest

from builder.base.errors import ContentError
from builder.figures.compute import compute
from builder.findings.order import find

OWN = """  - id: methyl-bromide
    own:
      name: Methyl bromide
      written: CH3Br
      cas: 74-83-9
      molar-mass: 94.94 g/mol
      reason: not in the library
      source: data sheet of the supplier
    overrides:
      lel: {value: 10 %vol, reason: as the data sheet has it, source: data sheet of the supplier}
"""
LIST = """id: works
short: Works
name: Limits of the works
title: Exposure limits adopted by the works
edition: first
how-read: copied from the signed print
read-on: 2026-03-02
evidence: recommendation
limits:
  - {gas: methyl-bromide, ceiling: 20 ppm, page: p. 1}
"""


@pytest.fixture(name="with_own")
def _with_own(changed, program_of):
    def read(text):
        folder = changed()
        gases, site = folder / "gases.yaml", folder / "site.yaml"
        gases.write_text(gases.read_text(encoding="utf-8").rstrip("\n") + "\n" + text, encoding="utf-8")
        (folder / "lists").mkdir()
        (folder / "lists" / "works.yaml").write_text(LIST, encoding="utf-8")
        told = site.read_text(encoding="utf-8")
        site.write_text(told.replace("limits: [", "limits: [works, "), encoding="utf-8")
        return compute(program_of(folder), date(2026, 11, 25))

    return read


def test_it_has_mass_limit_and_explosive_limit_as_stated(with_own):
    # by hand: 94.94 g/mol in 24.465 L/mol at 25 C and 101.325 kPa are 3.88 mg/m3 for each ppm; NIOSH prints 3.89
    ledger = with_own(OWN).ledger
    assert ledger["gas.methyl-bromide.mg-m3-per-ppm"].text == "3.88"
    assert ledger["gas.methyl-bromide.lel"].text == "10"
    assert ledger["gas.methyl-bromide.limit.works.ceiling"].text == "20"


def test_every_rule_can_judge_it(with_own):
    assert find(with_own(OWN)) is not None


def test_what_the_library_has_is_taken_from_it(with_own):
    with pytest.raises(ContentError) as told:
        with_own(OWN.replace("74-83-9", "74-82-8"))
    assert "own gas '74-82-8', which the library has; allowed: library: methane" in str(told.value)
