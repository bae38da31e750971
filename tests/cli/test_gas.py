"""`handbook gas` against values printed in the NIOSH Pocket Guide and in tables named beside each; and its refusals."""

from __future__ import annotations

from builder.cli import run
from tests.each import each

ABSENT = "no published value in the library"


def said(capsys, *arguments):
    status = run(["gas", *arguments])
    captured = capsys.readouterr()
    return status, captured.out, captured.err


def rows(out):
    """Label and rest of every indented line, the same label joined."""
    made = {}
    for line in out.splitlines():
        if line.startswith("  ") and not line.startswith("    "):
            label, _, rest = line.strip().partition("  ")
            made.setdefault(label, []).append(rest.strip())
    return made


@each(
    ("gas", "label", "value"),
    [
        # NIOSH Pocket Guide (2005-149), records of the substances: exposure limits, IP; from memory
        ("toluene", "NIOSH TWA", "100 ppm"),
        ("toluene", "NIOSH STEL", "150 ppm"),
        ("toluene", "NIOSH IDLH", "500 ppm"),
        ("toluene", "ionisation energy", "8.82 eV"),
        ("H2S", "NIOSH ceiling", "10 ppm; over 10 minutes"),
        ("H2S", "NIOSH IDLH", "100 ppm"),
        ("H2S", "ionisation energy", "10.46 eV"),
        ("ammonia", "NIOSH TWA", "25 ppm"),
        ("ammonia", "NIOSH STEL", "35 ppm"),
        ("carbon monoxide", "NIOSH TWA", "35 ppm"),
        ("carbon monoxide", "NIOSH IDLH", "1200 ppm"),
        ("chlorine", "NIOSH IDLH", "10 ppm"),
        # NIOSH profiles: 13 ppm since 2017 (DHHS (NIOSH) 2017-202); acrylonitrile's number was not read
        ("nitrogen dioxide", "NIOSH IDLH", "13 ppm"),
        ("nitrogen dioxide", "NIOSH IDLH (superseded by a newer edition)", "20 ppm"),
        ("acrylonitrile", "NIOSH IDLH (superseded by a newer edition, whose number was not read)", "85 ppm"),
        # Directive 2004/37/EC as amended by (EU) 2022/431: 0.5 ppm from 5 April 2024, 0.2 ppm from 5 April 2026
        ("benzene", "EU TWA (from 2024-04-05, superseded from 2026-04-05 on)", "0.5 ppm"),
        ("benzene", "EU TWA (from 2026-04-05)", "0.2 ppm"),
        # 29 CFR 1910.1047(c)(2); 29 CFR 1915.1000 Table Z
        ("ethylene oxide", "OSHA excursion limit", "5 ppm"),
        ("hydrogen sulfide", "OSHA shipyards TWA", "10 ppm"),
        # 29 CFR 1910.1000 Table Z-2, and 1910.1028(c)
        ("hydrogen sulfide", "OSHA ceiling", "20 ppm"),
        ("benzene", "OSHA TWA", "1 ppm"),
        ("benzene", "OSHA STEL", "5 ppm"),
        # the two bases of methane: IEC 60079-20-1:2010 and NFPA 497:2008
        ("methane", "LEL on iec-60079-20-1-2010", "4.4 %vol"),
        ("methane", "LEL on nfpa-497-2008", "5 %vol"),
        # CIAAW standard atomic weights 2021, H 1.008 and S 32.06: 2 × 1.008 + 32.06 = 34.076, added by hand
        ("7783-06-4", "molar mass", "34.08 g/mol, exactly 34.076"),
    ],
)
def test_prints_the_published_value(capsys, gas, label, value):
    status, out, _ = said(capsys, *gas.split())
    assert status == 0
    assert any(found.startswith(value) for found in rows(out)[label]), rows(out)[label]


@each("asked", ["Toluene", "toluene", "C7H8", "108-88-3", "methylbenzene", "toluol"])
def test_is_found_by_name_formula_and_number(capsys, asked):
    status, out, _ = said(capsys, asked)
    assert (status, out.splitlines()[0]) == (0, "Toluene")


def test_a_name_of_several_words_needs_no_quotes(capsys):
    assert said(capsys, "methyl", "ethyl", "ketone")[1].splitlines()[0] == "Methyl ethyl ketone"


def test_every_value_names_its_source_and_place(capsys):
    _, out, _ = said(capsys, "toluene")
    assert "[niosh-pocket-guide-2005, p. 311]" in out
    assert "Table Z-2, through NIOSH Pocket Guide" in out
    assert "niosh-pocket-guide-2005: NIOSH Pocket Guide to Chemical Hazards" in out
    assert "vapour-pressure-perry-2007: Perry's Chemical Engineers' Handbook" in out


def test_what_nobody_read_is_marked(capsys):
    _, out, _ = said(capsys, "hydrogen", "sulfide")
    told = "5 ppm; indicative limit  [eu-ioelv, 2009/161/EU, not read in its source]"
    assert rows(out)["EU TWA"] == [told]
    assert "not read" not in rows(out)["NIOSH ceiling"][0]


def test_what_is_absent_is_said(capsys):
    found = rows(said(capsys, "nitrogen")[1])
    for label in ("LEL on iec-60079-20-1-2010", "LEL on nfpa-497-2008", "flash point", "vapour pressure",
                  "OSHA TWA", "EH40 STEL"):  # fmt: skip
        assert found[label] == [ABSENT]
    # there is no 8-hour limit of hydrogen sulfide in Table Z-2
    assert rows(said(capsys, "H2S")[1])["OSHA TWA"] == [ABSENT]


def test_an_unknown_gas_names_the_nearest(capsys):
    status, out, err = said(capsys, "tolune")
    assert (status, out) == (1, "")
    assert err.startswith("no gas is called 'tolune'; nearest: toluene")


def test_a_shared_formula_lists_the_candidates(capsys):
    status, out, err = said(capsys, "C4H10")
    assert (status, out) == (1, "")
    assert err == "'C4H10' is more than one gas: n-butane, isobutane\n"


def test_an_empty_name_is_wrong_usage(capsys):
    assert said(capsys, "")[0] == 2


def test_without_a_name_every_gas_is_listed(capsys):
    """CAS number of ammonia: 7664-41-7, in any handbook."""
    status, out, _ = said(capsys)
    assert status == 0
    assert (
        "Ammonia (NH3, 7664-41-7, ammonia)" in out.splitlines()
        or "Ammonia (H3N, 7664-41-7, ammonia)" in out.splitlines()
    )
    assert len(out.splitlines()) > 50


def test_every_gas_of_the_library_can_be_printed(capsys):
    from builder.reference.library import library

    for entry in library().gases():
        status, out, _ = said(capsys, entry.id)
        assert (status, out.splitlines()[0]) == (0, entry.name)
