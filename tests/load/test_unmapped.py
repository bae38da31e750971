"""A table to be imported is a plain file; nobody waits for what a pipe will say."""

from __future__ import annotations

import os

import pytest

from builder.base.errors import ContentError
from builder.load.unmapped import unmapped


@pytest.mark.parametrize("name", ["rows.csv", "rows.xlsx"])
def test_a_pipe_is_no_table(name, tmp_path):
    os.mkfifo(tmp_path / name)
    with pytest.raises(ContentError, match="no plain file"):
        unmapped(tmp_path / name)
