"""Tables of a content folder: opened when they are known, read when they are asked for."""

from pathlib import Path

from builder.base.record import dataclass
from builder.load.csv_lines import csv_file
from builder.load.rows import TableRows
from builder.load.shape import PLAIN, Shape
from builder.load.xlsx_cells import sheet_names, xlsx_rows

WORKBOOK = ".xlsx"
ENDINGS = (".csv", ".tsv", WORKBOOK)


@dataclass(frozen=True, slots=True)
class SourceTable:
    """A file of rows under column heads."""

    file: str
    """Path below the content folder."""
    path: Path

    @property
    def is_workbook(self) -> bool:
        """Whether it may have several sheets."""
        return self.path.suffix == WORKBOOK

    def sheets(self) -> tuple[str, ...]:
        """Names of the sheets of a workbook; none of any other file.

        :raises ContentError: when it cannot be opened.
        """
        return sheet_names(self.path, self.file) if self.is_workbook else ()

    def rows(self, shape: Shape = PLAIN, name: str = "") -> TableRows:
        """Its rows from the first under the heads; places in them are told under ``name``, else under its path.

        :raises ContentError: when it cannot be opened or has no sound heads.
        """
        if self.is_workbook:
            return xlsx_rows(self.path, name or self.file, shape)
        return csv_file(self.path, name or self.file, shape)
