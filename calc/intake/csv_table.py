"""A CSV file from disk: header and rows with their lines, and what cannot be read."""

from __future__ import annotations

import csv
from dataclasses import dataclass, field
from pathlib import Path

from calc.data import files
from calc.data.files import Document, Problem


@dataclass
class Sheet(Document):
    """A CSV file read: header, its line, every row that has a cell for each column, with its line, and the line after
    the last one."""

    header: list[str] = field(default_factory=list)
    header_line: int = 1
    end: int = 1
    rows: list[tuple[int, list[str]]] = field(default_factory=list)


def read(path: Path, begin: str) -> Sheet:
    """The file at `path`, cells without blanks around them, empty lines left out.

    What is wrong goes to the problems of the sheet; of a file without a header it says how to `begin`.  Cells parted by
    semicolons are no header and no rows.
    """
    sheet = Sheet(str(path))
    text = files.content(path, sheet)
    if text is None:
        return sheet
    reader = csv.reader(text.splitlines(keepends=True), strict=True)
    line = 1

    def wrong(line: int, said: str) -> None:
        sheet.problems.append(Problem(sheet.file, line, "", said))

    try:
        for raw in reader:
            here, line = line, reader.line_num + 1
            sheet.end = line
            cells = [cell.strip() for cell in raw]
            if not any(cells):
                continue
            if not sheet.header:
                if len(cells) == 1 and ";" in cells[0]:
                    wrong(here, "parts its cells by semicolons; save the table with commas")
                    return sheet
                sheet.header, sheet.header_line = cells, here
            elif len(cells) != len(sheet.header):
                said = f"has {len(cells)} cells, the header {len(sheet.header)}"
                wrong(here, f"{said}; put a cell that holds a comma in quotes")
            else:
                sheet.rows.append((here, cells))
    except csv.Error as error:
        wrong(line, f"cannot be read as CSV: {error}; check the quotes")
    if not sheet.header and not sheet.problems:
        wrong(1, f"is empty; {begin}")
    return sheet
