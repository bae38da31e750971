"""A test station judges by what it was told of the gas on its inlets."""

from __future__ import annotations

import pytest

STATION = """stations:
  - id: box
    name: Box
    location: Bench
    models: [pumped]
    inlets:
      - {inlet: 1}
      - {inlet: 2, cylinder: CYLINDER, set-to: "LOT"}
    software: invented
    leak-test: {every: 7 days, last: DAY}
    log: invented
"""


@pytest.mark.parametrize(
    ("cylinder", "lot", "day", "expected"),
    [
        ("c-1", "1", "2026-11-20", []),
        ("c-1", "2", "2026-11-20", ["stop"]),  # the lot of the other cylinder
        ("c-2", "2", "2026-11-20", ["stop"]),  # isobutylene in air: nothing for methane and hydrogen sulfide
        ("c-1", "1", "2026-11-18", []),  # a week later is the day itself
        ("c-1", "1", "2026-11-17", ["warn"]),
    ],
)
def test_what_is_wrong_with_a_station(found, cylinder, lot, day, expected):
    # common practice, no source
    text = STATION.replace("CYLINDER", cylinder).replace("LOT", lot).replace("DAY", day)
    findings = found(("stations.yaml", "", text))
    assert [one.severity.value for one in findings if one.rule == "station-wrong"] == expected
