"""Starts a command in a group of processes of its own, stops it, and looks at what is left."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from builder.publish.checksums import read_sums
from builder.verify.report import Check
from builder.verify.sums import check_sums

ROOT = Path(__file__).parents[2]
STATUS = {signal.SIGTERM: 143, signal.SIGHUP: 129, signal.SIGINT: 130, signal.SIGKILL: -9}
"""What POSIX shells report is 128 and the number (IEEE Std 1003.1, 2.8.2); a killed process can report nothing."""
PATIENCE = 10
"""Seconds until what a killed process had started must have ended too."""


@dataclass(frozen=True)
class Place:
    """A content folder, the site made of it, and a folder for what is temporary."""

    root: Path

    @property
    def content(self):
        return self.root / "content"

    @property
    def parent(self):
        return self.root / "www"

    @property
    def out(self):
        return self.parent / "site"

    @property
    def temp(self):
        return self.root / "temp"

    def fresh(self, source):
        """Begin with this content, no site and nothing temporary."""
        self.parent.mkdir(parents=True)
        self.temp.mkdir()
        shutil.copytree(source, self.content)
        return self

    def command(self, name, *arguments, point="-", number="SIGKILL", whole="light"):
        """The whole line of a command on this place."""
        driver = [sys.executable, "-m", "tests.trust.stopping", point, number, whole]
        return [*driver, name, "--content", str(self.content), "--out", str(self.out), "--quiet", *arguments]

    def start(self, line):
        """Begin it, as a group of its own."""
        environment = os.environ | {"TMPDIR": str(self.temp), "HANDBOOK_CACHE": str(self.root / "cache")}
        return subprocess.Popen(
            line,
            cwd=ROOT,
            env=environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )

    def run(self, line):
        """Its status and what it said, once nothing of its group is left."""
        with self.start(line) as process:
            _, said = process.communicate(timeout=300)
        self.group_ended(process)
        return process.returncode, said

    def group_ended(self, process):
        """Wait until the whole group is gone, or fail with what is left of it."""
        until = time.monotonic() + PATIENCE
        while members(process.pid):
            if time.monotonic() > until:
                left = members(process.pid)
                os.killpg(process.pid, signal.SIGKILL)
                raise AssertionError(f"outlived the command: {left}")
            time.sleep(0.02)

    def whole(self):
        """What stands in the site, after making sure that it is whole; nothing where there is none."""
        if not self.out.exists():
            return None
        check = Check("sums")
        check_sums(self.out, check, "")
        assert check.faults == []
        return (self.out / "SHA256SUMS").read_bytes()

    def names(self):
        """What lies beside the site, and what is temporary."""
        return sorted(path.name for folder in (self.parent, self.temp) for path in folder.iterdir())

    def sums(self):
        return read_sums((self.out / "SHA256SUMS").read_bytes())


def workers(group):
    """How many processes of a group run our own program."""
    return sum("tests.trust.stopping" in line for line in members(group).values())


def members(group):
    """Number -> command line of the processes of a group that are not just waiting to be told of."""
    found = {}
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                fields = (entry / "stat").read_text().rpartition(")")[2].split()
                if int(fields[2]) == group and fields[0] != "Z":
                    line = (entry / "cmdline").read_bytes().replace(b"\0", b" ")
                    found[int(entry.name)] = line.decode(errors="replace")
            except OSError:
                continue
    return found
