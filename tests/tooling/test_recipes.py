"""Three recipes of DEVELOPERS.md, followed on a copy of the tree: files counted, and the test that fails half-way."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
COPIED = (
    "builder",
    "templates",
    "docs",
    "tests/findings",
    "tests/formulas",
    "tests/pages",
    "tests/sites",
    "tests/trust",
)
ALONE = ("pyproject.toml", "DEVELOPERS.md", *(f"tests/{path.name}" for path in (ROOT / "tests").glob("*.py")))
MOST_FILES = 4

RULE = '''"""Names; they serve the trial of a recipe."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.findings.rule import rule
from builder.program.program import Program


@rule(Severity.NOTE)
def short_name_of_letters(program: Program) -> Iterator[Finding]:
    """A site whose short name has more than one letter.

    Source: common practice, no source.
    """
    short = program.site.short
    if len(short.value) > 1:
        yield short_name_of_letters.found(
            message="The short name has letters.",
            where=short.where,
            source="common practice, no source",
            mend="leave it",
            subject="page:program",
        )
'''
FORMULA = '''

@formula(
    id="sampling.half",
    title="Half of a time",
    expression="half = t / 2",
    source="common practice, no source",
    valid="a time above zero",
    rounding="exact",
)
def half_time(whole: Quantity) -> Quantity:
    """Half of a time.

    :param whole: time [s]
    :returns: half of it [s]

    >>> from builder.base.quantity import magnitude
    >>> magnitude(half_time(quantity(60, "s")), "s")
    Fraction(30, 1)
    """
    return quantity(amount(whole, "s", "time", above=0) / 2, "s")
'''
EXAMPLE = """
- formula: sampling.half
  source: common practice, no source; by hand, half of 1 min, 60 s, is 30 s
  seen: by hand
  rows:
    - {id: half a minute, given: {whole: 1 min}, expect: 30 s, within: 0 s}
"""
PAGE = '''"""A page that serves the trial of a recipe."""

from __future__ import annotations

from collections.abc import Iterator

from builder.pages.compositions import Page
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import inlines, page, para, to


def trial_pages(book: HandbookContext) -> Iterator[Page]:
    """One page."""
    blocks = (para("See ", to("page:program", "the program"), "."),)
    yield page("page:trial", f"Trial of {book.program.site.name.value}", "program", inlines("A page."), blocks)
'''
NEW, END = "", None
"""What an edit replaces: nothing, since the file is new; nothing, since it goes to the end."""
Edit = tuple[str, str | None, str]

FINDING_STEPS: tuple[Edit, ...] = (
    ("builder/findings/rules/names.py", NEW, RULE),
    ("tests/sites/faults/site.yaml", "short: FW\n", "short: FW  # fault: short-name-of-letters\n"),
)
FORMULA_STEPS: tuple[Edit, ...] = (
    ("builder/figures/formulas/sampling.py", END, FORMULA),
    ("tests/formulas/fixtures/sampling.yaml", END, EXAMPLE),
)
PAGE_STEPS: tuple[Edit, ...] = (
    ("builder/pages/handbook/trial.py", NEW, PAGE),
    (
        "builder/pages/handbook/compose.py",
        "from builder.pages.handbook.units import",
        "from builder.pages.handbook.trial import trial_pages\nfrom builder.pages.handbook.units import",
    ),
    (
        "builder/pages/handbook/compose.py",
        "        *kept_list_pages(book),\n",
        "        *kept_list_pages(book),\n        *trial_pages(book),\n",
    ),
    (
        "builder/pages/handbook/sections.py",
        '"retention", "forecast",',
        '"retention", "forecast", "trial",',
    ),
    ("templates/prose/program.md", "](page:retention)", "](page:retention), [a trial](page:trial)"),
)
STEPS_BEFORE_THE_FAILURE = {"A finding": 1, "A formula": 1, "A page": 4}
RECIPES = {"A finding": FINDING_STEPS, "A formula": FORMULA_STEPS, "A page": PAGE_STEPS}
WRITTEN = {
    "docs/findings.md": ("A finding", "builder.findings.document"),
    "tests/findings/said.yaml": ("A finding", "tests.findings.said"),
}
"""Page that is written anew -> the recipe that asks for it, and the module that writes it."""


def first_to_fail(recipe: str) -> str:
    """The test that the guide names for a recipe."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    told = text[text.index(f"**{recipe}.**") :]
    return re.search(r"First to fail:\s+`(tests/[\w/.]+::\w+)`", told)[1]


def follow(tree: Path, edits: tuple[Edit, ...]) -> None:
    for name, old, new in edits:
        path = tree / name
        before = "" if old == NEW else path.read_text(encoding="utf-8")
        assert old in (NEW, END) or before.count(old) == 1, f"{name}: {old!r} stands there {before.count(old)} times"
        path.write_text(before.replace(old, new) if old else before + new, encoding="utf-8")


def failed(tree: Path, *tests: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-n0", "--tb=no", *tests],
        cwd=tree,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode in (0, 1), done.stdout + done.stderr
    return set(re.findall(r"^FAILED (\S+)", done.stdout, re.MULTILINE))


@pytest.fixture(name="tree")
def _tree(tmp_path: Path) -> Path:
    """A copy of what the three recipes touch and what tests them."""
    for name in COPIED:
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ALONE:
        shutil.copy(ROOT / name, tmp_path / name)
    return tmp_path


def test_each_recipe_names_all_its_files_and_the_test_that_fails_first(tree):
    first = {recipe: first_to_fail(recipe) for recipe in RECIPES}
    for recipe, steps in RECIPES.items():
        follow(tree, steps[: STEPS_BEFORE_THE_FAILURE[recipe]])
    assert failed(tree, *first.values()) == set(first.values())
    for recipe, steps in RECIPES.items():
        follow(tree, steps[STEPS_BEFORE_THE_FAILURE[recipe] :])
    for page, (_, module) in WRITTEN.items():
        subprocess.run([sys.executable, "-m", module, page], cwd=tree, check=True)
    others = (
        "tests/findings/test_docs.py",
        "tests/findings/test_faults.py",
        "tests/formulas/test_registry.py",
        "tests/pages/test_handbook.py",
    )
    assert failed(tree, *first.values(), *others) == set()
    for recipe, steps in RECIPES.items():
        touched = {name for name, _, _ in steps} | {page for page, (asks, _) in WRITTEN.items() if asks == recipe}
        assert len(touched) <= MOST_FILES, recipe
