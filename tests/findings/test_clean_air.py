"""What a zero takes for clean air is held against what clean air holds."""

from __future__ import annotations

from tests.each import each

CHECKS, PUMP = "checks.yaml", "  - id: pump-block\n"
ZERO = """  - id: zero
    name: Zero
    kind: zero
    interval: each day of use
    reason: invented
    source: invented
    clean-air:
      CHANNEL
"""


@each(
    ("channel", "expected"),
    [
        # clean dry air, 20.9 %vol: ISO 2533 has 20.95; from memory
        ("oxygen: {shows: 20.9 %vol, within: 0.2 %vol, refused-beyond: 0.8 %vol}", 0),
        ("oxygen: {shows: 21.5 %vol, within: 0.2 %vol, refused-beyond: 1 %vol}", 1),
        ("oxygen: {shows: 0 %vol, within: 0.2 %vol, refused-beyond: 1 %vol}", 1),
        ("flammable: {shows: 0 %LEL, within: 1 %LEL, refused-beyond: 4 %LEL}", 0),
        ("hydrogen-sulfide: {shows: 1 ppm, within: 1 ppm, refused-beyond: 2 ppm}", 1),
    ],
)
def test_clean_air_is_what_air_holds(found, channel, expected):
    findings = found((CHECKS, PUMP, ZERO.replace("CHANNEL", channel) + PUMP), whole=True)
    assert (
        len([one for one in findings if (one.rule, one.severity.value) == ("clean-air-doubtful", "warn")]) == expected
    )


@each(
    ("channel", "expected"),
    [
        # the alarms of the site: oxygen 20.0, flammable gas 5 and 9 %LEL; common practice, no source
        ("oxygen: {shows: 20.9 %vol, within: 0.2 %vol, refused-beyond: 0.9 %vol}", []),
        ("oxygen: {shows: 20.9 %vol, within: 0.2 %vol, refused-beyond: 1.1 %vol}", ["stop"]),
        ("flammable: {shows: 0 %LEL, within: 1 %LEL, refused-beyond: 5 %LEL}", []),
        ("flammable: {shows: 0 %LEL, within: 1 %LEL, refused-beyond: 6 %LEL}", ["warn"]),
        ("flammable: {shows: 0 %LEL, within: 1 %LEL, refused-beyond: 10 %LEL}", ["stop"]),
    ],
)
def test_no_alarm_is_zeroed_away(found, channel, expected):
    findings = found((CHECKS, PUMP, ZERO.replace("CHANNEL", channel) + PUMP), whole=True)
    assert [one.severity.value for one in findings if one.rule == "clean-air-doubtful"] == expected
