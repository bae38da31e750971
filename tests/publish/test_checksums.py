"""The list of checksums can be written, read again, and is refused when it is damaged."""

from __future__ import annotations

import pytest

from builder.base.errors import PublishError
from builder.publish.checksums import digest, digest_file, read_sums, write_sums

ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
"""SHA-256 of "abc", the first example of FIPS 180-2, appendix B.1."""


def test_digest_agrees_with_the_standards_example(tmp_path):
    (tmp_path / "abc").write_bytes(b"abc")
    assert digest(b"abc") == digest_file(tmp_path / "abc") == ABC


def test_the_list_is_sorted_and_reads_back():
    written = write_sums({"b": ABC, "a b/ü": ABC})
    assert written.decode() == f"{ABC}  a b/ü\n{ABC}  b\n"
    assert read_sums(written) == {"a b/ü": ABC, "b": ABC}


@pytest.mark.parametrize("line", ["", f"{ABC} a", f"{ABC[:-1]}  a", f"{ABC}  "])
def test_a_damaged_line_is_named(line):
    with pytest.raises(PublishError, match=r"^SHA256SUMS:2: .* is no checksum line"):
        read_sums(f"{ABC}  a\n{line}\n".encode())
