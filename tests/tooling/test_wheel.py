"""The wheel stands alone: what it carries makes the same site as the checkout, with no project folder beside it."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import sysconfig
import zipfile

import pytest

from tests.conftest import DAY, MINIMAL, ROOT


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory):
    """The wheel of this checkout, unpacked as an installer would."""
    out = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(out)],
        cwd=ROOT,
        check=True,
        capture_output=True,
        timeout=120,
    )
    (wheel,) = out.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(out / "unpacked")
    return out / "unpacked"


def test_the_wheel_installs_into_an_empty_environment(unpacked, tmp_path):
    """Its libraries are lent, so that nothing is asked of a registry; the builder itself is the installed one."""
    (wheel,) = unpacked.parent.glob("*.whl")
    subprocess.run([sys.executable, "-m", "venv", str(tmp_path / "venv")], check=True, timeout=120)
    python = tmp_path / "venv" / "bin" / "python"
    install = ["-m", "pip", "install", "--quiet", "--no-index", "--no-deps", str(wheel)]
    subprocess.run([python, *install], check=True, capture_output=True, timeout=120)
    lent = {**os.environ, "PYTHONPATH": sysconfig.get_path("purelib")}

    def said(*order):
        done = subprocess.run(order, cwd=tmp_path, env=lent, capture_output=True, text=True, timeout=120, check=False)
        assert done.returncode == 0, done.stderr
        return done.stdout

    assert str(tmp_path) in said(python, "-c", "import builder; print(builder.__file__)")
    handbook = tmp_path / "venv" / "bin" / "handbook"
    said(handbook, "start", "site", "--trade", "water", "--name", "North Works", "--as-of", str(DAY), "--quiet")
    assert (tmp_path / "site" / ".schema" / "areas.json").is_file()
    said(handbook, "check", "--content", "site", "--as-of", str(DAY))


def test_the_container_file_of_the_guide_names_what_there_is():
    """Its packages are those that ``.ci/setup.sh`` asks of Debian, and it copies what the build of the wheel writes."""
    guide = (ROOT / "docs" / "guides.md").read_text(encoding="utf-8")
    file = guide.partition("```Dockerfile\n")[2].partition("```")[0].replace("\\\n", " ")
    steps = dict.fromkeys(line.partition(" ")[0] for line in file.splitlines())
    assert list(steps) == ["FROM", "RUN", "COPY", "USER", "ENTRYPOINT"]
    packages = set(re.search(r"--no-install-recommends ([^&]*)", file)[1].split())
    asked = (ROOT / ".ci" / "setup.sh").read_text(encoding="utf-8")
    libraries = set(re.search(r"install_packages (libpango[^|]*)", asked)[1].split())
    assert packages == {*libraries, "python3-venv"}
    assert "COPY dist/*.whl /tmp/" in file
    assert "pip install --no-cache-dir /tmp/*.whl" in file
    assert 'ENTRYPOINT ["/opt/handbook/bin/handbook"]' in file
    assert "python3 -m venv /opt/handbook " in file


def test_every_template_and_table_travels_in_the_wheel(unpacked):
    def files(folder):
        return {path.relative_to(folder) for path in folder.rglob("*") if path.is_file()}

    assert files(unpacked / "builder" / "_templates") == files(ROOT / "templates")
    assert (unpacked / "builder" / "_docs" / "keys.md").read_bytes() == (ROOT / "docs" / "keys.md").read_bytes()
    assert files(unpacked / "builder" / "reference" / "tables") == files(ROOT / "builder" / "reference" / "tables")


def test_the_wheel_builds_the_same_site_as_the_checkout(unpacked, minimal, tmp_path):
    program = "import builder, builder.__main__ as start; print(builder.__file__); start.main()"
    order = [
        "build",
        "--quiet",
        "--no-cache",
        "--content",
        str(MINIMAL),
        "--out",
        str(tmp_path / "site"),
        "--as-of",
        str(DAY),
    ]
    done = subprocess.run(
        [sys.executable, "-P", "-c", program, *order],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(unpacked)},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.stdout.splitlines()[0] == str(unpacked / "builder" / "__init__.py")
    assert (tmp_path / "site" / "SHA256SUMS").read_bytes() == (minimal.out / "SHA256SUMS").read_bytes()


def test_what_is_kept_of_an_installed_builder_hangs_on_its_templates(unpacked, tmp_path):
    """As in a checkout: whoever reads templates is made anew when one changes, and nobody else."""
    program = (
        "from builder.base.sources import PACKAGE, reachable_files as files\n"
        "for module in ('builder.render.cards', 'builder.render.fit'):\n"
        "    print(PACKAGE / '_templates' / 'cards' / 'side.html' in files(module))\n"
    )
    order = [sys.executable, "-P", "-c", program]
    env = {**os.environ, "PYTHONPATH": str(unpacked)}
    done = subprocess.run(order, cwd=tmp_path, env=env, capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout.split() == ["True", "False"]
