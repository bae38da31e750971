"""Tables of a content folder: opened when they are known, read when they are asked for."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from builder.load.csv_lines import csv_file
from builder.load.rows import TableRows
from builder.load.xlsx_cells import xlsx_rows

ENDINGS = (".csv", ".xlsx")


@dataclass(frozen=True, slots=True)
class SourceTable:
    """A file of rows under column heads."""

    file: str
    """Path below the content folder."""
    path: Path

    def rows(self, sheet: str | None = None) -> TableRows:
        """Its rows from the first; ``sheet`` names one of a workbook.

        :raises ContentError: when it cannot be opened or has no sound heads.
        """
        if self.path.suffix == ".xlsx":
            return xlsx_rows(self.path, self.file, sheet)
        return csv_file(self.path, self.file)
