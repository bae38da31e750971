"""The reading corrector and the converter give what the Python formulas give, and refuse what they refuse."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from builder.base.quantity import magnitude, quantity
from builder.base.rounding import Direction, Rounding, plain, printed_text
from builder.figures.formulas.conversion import convert
from builder.figures.formulas.response import true_value
from builder.figures.roundings import chart
from builder.figures.scales import UNITS
from builder.pages.blocks import Fold
from builder.pages.compositions import figures_in
from builder.pages.reader_tools import Corrector

TYPE = """([form, name, values]) => values.map(([gas, value, unit]) => {
  const fields = document.querySelector(form).elements;
  fields.namedItem("gas").selectedIndex = gas;
  fields.namedItem(name).value = value;
  if (unit !== null) { fields.namedItem("unit").value = unit; }
  fields.namedItem(name).dispatchEvent(new Event("input", { bubbles: true }));
  const to = [...document.querySelectorAll(form + " [data-to]")].map((cell) => cell.textContent);
  const result = document.querySelector(form + " output");
  return { text: result.textContent, how: document.querySelector(form + " .how").textContent,
           kind: result.className, invalid: fields.namedItem(name).getAttribute("aria-invalid"), to };
})"""
TYPED = (
    "0",
    "0.1",
    "0.5",
    "1",
    "2.5",
    "3",
    "4.9",
    "5",
    "7",
    "9.99",
    "10",
    "12.5",
    "33.3",
    "50",
    "52.6",
    "52.7",
    "99.9",
)


# ---- rounding ------------------------------------------------------------------


def cases():
    """Values and rules, with every direction, on and beside every edge: steps, ties, powers of ten, caps."""
    rng = random.Random(7)
    steps = [
        Fraction(1),
        Fraction(1, 2),
        Fraction(1, 10),
        Fraction(1, 20),
        Fraction(1, 1000),
        Fraction(5),
        Fraction(100),
    ]
    for direction in Direction:
        for step in steps:
            for count in (0, 1, 7, 99, 12345):
                edge = count * step
                for value in (edge, edge + step / 2, edge + step / 10**12, abs(edge - step / 10**12)):
                    yield value, Rounding(direction=direction, why="test", step=step)
        for digits in (1, 2, 3, 4):
            for power in range(-6, 8):
                ten = Fraction(10) ** power
                for part in (
                    Fraction(1),
                    Fraction(9995, 1000),
                    Fraction(5005, 1000),
                    Fraction(1, 3),
                    Fraction(12345, 10000),
                ):
                    yield part * ten, Rounding(direction=direction, why="test", digits=digits)
        for _ in range(150):
            value = Fraction(rng.randrange(10**9), rng.randrange(1, 10**5))
            yield value, Rounding(direction=direction, why="test", step=rng.choice(steps), cap=Fraction(100))
            yield value, Rounding(direction=direction, why="test", digits=rng.randrange(1, 6))


def test_the_browser_rounds_as_the_handbook_does(minimal, reader):
    made = list(cases())
    asked = [
        [
            str(value),
            {
                "direction": rule.direction.value,
                "step": str(rule.step) if rule.step else "",
                "digits": str(rule.digits or ""),
                "cap": str(rule.cap) if rule.cap else "",
            },
        ]
        for value, rule in made
    ]
    with reader(minimal) as window:
        told = window.open("setpoints.html").evaluate(
            """(asked) => asked.map(([value, rule]) =>
                 handbook.exact.printed(handbook.exact.parsed(value), handbook.exact.rule(rule)))""",
            asked,
        )
    assert len(made) > 1500
    assert [(str(v), r) for (v, r), text in zip(made, told, strict=True) if text != printed_text(v, r)] == []


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("10", "10"),
        ("2,5", "2.5"),
        (" 1 000 ", "1000"),
        ("5.", "5"),
        ("0.10", "0.1"),
        ("", None),
        ("-1", None),
        ("1e3", None),
        ("1.2.3", None),
        ("ten", None),
        (".", None),
        ("0x10", None),
        ("1234567890", None),
    ],
)
def test_only_plain_numbers_are_taken(chromium_page, text, value):
    found = chromium_page.evaluate(
        "(text) => { const made = handbook.exact.typed(text); return made && handbook.exact.plain(made); }", text
    )
    assert (found or "").replace("\u202f", "") == (value or "")


@pytest.fixture(scope="module")
def chromium_page(chromium, minimal):
    page = chromium.new_page()
    page.goto((minimal.out / "setpoints.html").as_uri())
    yield page
    page.close()


# ---- reading corrector -----------------------------------------------------------


def correctors(site):
    for page in site.built.composed.pages:
        for fold in (block for block in page.blocks if isinstance(block, Fold)):
            for block in fold.content:
                if isinstance(block, Corrector):
                    yield page, block


def expected(figures, correction, text):
    like = figures[correction.like]
    value = true_value(quantity(text, like.unit), figures[correction.factor].amount)
    return printed_text(magnitude(value, like.unit), like.rounding).replace(" ", "\u00a0") + f"\u00a0{like.unit}"


def test_every_corrector_of_the_demo_gives_the_true_value(demo, reader):
    figures = demo.built.composed.judged.ledger.figures
    seen = 0
    with reader(demo) as window:
        for page, block in correctors(demo):
            values = [[at, text, None] for at in range(len(block.corrections)) for text in TYPED]
            told = window.open(page.path).evaluate(TYPE, [".corrector", "reading", values])
            for (at, text, _), answer in zip(values, told, strict=True):
                wanted = expected(figures, block.corrections[at], text)
                assert answer["text"].startswith((f"{wanted} of ", f"{wanted}: leave")), (page.id, text, answer)
                assert ("over" in wanted) <= answer["text"].endswith(": leave")
                seen += 1
    assert seen > 100


def test_the_corrector_says_what_the_printed_table_says(demo, reader):
    figures = demo.built.composed.judged.ledger.figures
    seen = 0
    with reader(demo) as window:
        for page, block in correctors(demo):
            printed_here, shown_here = set(figures_in(page)), window.open(page.path)
            for at, correction in enumerate(block.corrections):
                group = correction.like.rpartition(".")[0]
                rows = [key for key in printed_here if key.startswith(f"{group}.at-") and group.startswith("reading.")]
                shown = [figures[f"reading.{key.rpartition('.')[2]}"] for key in rows]
                told = shown_here.evaluate(
                    TYPE, [".corrector", "reading", [[at, plain(figure.exact), None] for figure in shown]]
                )
                for key, answer in zip(rows, told, strict=True):
                    assert answer["text"].startswith(figures[key].printed.replace(" ", "\u00a0")), key
                    seen += 1
    assert seen > 20


def test_the_corrector_refuses_what_no_display_shows_and_says_when_to_leave(minimal, reader):
    with reader(minimal) as window:
        page = window.open("areas/pit.html")
        values = [[0, text, None] for text in ("", "100.1", "-3", "abc", "100", "99")]
        empty, above, below, words, full, near = page.evaluate(TYPE, [".corrector", "reading", values])
    assert (empty["text"], empty["invalid"]) == ("", None)
    assert above["text"].startswith("No detector allowed here shows more than 100\u00a0%LEL.")
    assert all(answer["invalid"] == "true" for answer in (above, below, words))
    assert below["text"] == words["text"] == "Type the number as it is shown, with digits only."
    assert full["text"].endswith(": leave")
    assert "at full scale" in full["how"]
    assert "at full scale" not in near["how"]


def test_over_the_limit_there_is_no_number_but_a_word(demo, reader):
    figures = demo.built.composed.judged.ledger.figures
    page, block, at = next(
        (page, block, at)
        for page, block in correctors(demo)
        for at, found in enumerate(block.corrections)
        if figures[found.like].rounding.cap and figures[found.factor].exact > 1
    )
    factor = figures[block.corrections[at].factor].exact
    edge = plain(Fraction(int(1000 / factor), 10))
    with reader(demo) as window:
        beyond, below = window.open(page.path).evaluate(
            TYPE, [".corrector", "reading", [[at, "99.9", None], [at, edge, None]]]
        )
    assert beyond["text"] == "over\u00a0100\u00a0%LEL: leave"
    assert beyond["kind"] == "result leave"
    assert "over" not in below["text"]


# ---- converter -----------------------------------------------------------------


def attribute(unit):
    return "of-" + unit.lower().replace("%", "percent-").replace("/", "-")


def test_the_converter_gives_what_the_formula_gives(demo, reader):
    judged = demo.built.composed.judged
    ledger, gases = judged.ledger, list(judged.program.gases)
    values = [
        [at, text, unit]
        for at in range(len(gases))
        for unit in UNITS
        for text in ("0", "0.005", "1", "1.005", "10", "44", "99.95", "100")
    ]
    with reader(demo) as window:
        told = window.open("conversions.html").evaluate(
            TYPE, [".converter", "value", [[at, text, attribute(unit)] for at, text, unit in values]]
        )
    for (at, text, unit), answer in zip(values, told, strict=True):
        limit = ledger.get(f"gas.{gases[at]}.lel")
        if unit == "%LEL" and limit is None:
            assert "has no lower explosive limit" in answer["text"]
            continue
        basis = {
            "molar_mass": ledger[f"gas.{gases[at]}.molar-mass"].amount,
            "lel": limit.amount if limit else None,
            "temperature": ledger["reference.temperature"].amount,
            "pressure": ledger["reference.pressure"].amount,
        }
        for target, shown in zip(UNITS, answer["to"], strict=True):
            if target == "%LEL" and limit is None:
                assert shown == "no limit"
                continue
            made = convert(quantity(text, unit), unit, target, **basis)
            assert shown == printed_text(magnitude(made.value, target), chart()), (gases[at], text, unit, target)


def test_the_converter_refuses_more_gas_than_there_is_air(minimal, reader):
    with reader(minimal) as window:
        page = window.open("setpoints.html")
        whole, more, words = page.evaluate(
            TYPE,
            [
                ".converter",
                "value",
                [[0, "100", "of-percent-vol"], [0, "100.1", "of-percent-vol"], [0, "a", "of-ppm"]],
            ],
        )
    assert whole["text"] == ""
    assert whole["to"][0] == "1\u202f000\u202f000"
    assert more["text"] == "More than all of the air cannot be this gas."
    assert set(more["to"]) == {"–"}
    assert words["invalid"] == "true"


# ---- without script --------------------------------------------------------------


def test_without_script_only_the_tables_stand(minimal, reader):
    with reader(minimal, java_script_enabled=False) as window:
        page = window.open("areas/pit.html")
        page.locator("summary:has(#correct-a-reading)").click()
        assert not page.locator("form.tool").first.is_visible()
        assert page.get_by_text("Corrected readings, Valve pit").is_visible()
        page = window.open("setpoints.html")
        assert not page.locator("form.tool").is_visible()
        assert page.get_by_text("From volume to mass").is_visible()
