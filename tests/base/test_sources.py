"""Which code counts for what was made: all that a module imports from the builder, and the data beside it."""

import subprocess
import sys

import pytest

from builder.base.sources import PACKAGE, reachable_files


def names(module):
    return {path.relative_to(PACKAGE.parent).as_posix() for path in reachable_files(module)}


@pytest.mark.parametrize("module", ["builder.render.documents", "builder.render.cards", "builder.reference.library"])
def test_every_module_that_an_import_loads_counts(module):
    """Python itself is the other source: what stands in ``sys.modules`` after the import."""
    code = f"import sys, {module}; print(*sorted(n for n in sys.modules if n.split('.')[0] == 'builder'))"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=PACKAGE.parent)
    loaded = {name.replace(".", "/") for name in said.stdout.split()}
    counted = {name.removesuffix(".py").removesuffix("/__init__") for name in names(module)}
    assert loaded <= counted


def test_imports_inside_functions_and_in_brackets_count():
    assert "builder/reference/formula.py" in names("builder.cli.gas")
    assert "builder/render/arabic.py" in names("builder.render.workers")


def test_templates_and_tables_count_for_whoever_reads_them():
    assert "templates/cards/side.html" in names("builder.render.cards")
    assert "templates/cards/side.html" not in names("builder.render.fit")
    assert "builder/reference/tables/gases.csv" in names("builder.reference.tables")
