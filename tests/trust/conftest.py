from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.conftest import MINIMAL


@pytest.fixture
def content(tmp_path):
    """A copy of the smallest sound site, for a test to break."""
    return Path(shutil.copytree(MINIMAL, tmp_path / "content"))
