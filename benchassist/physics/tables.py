"""Read the text of a data table; knows no file, only what stands in one.

A table is a CSV with a head of comment lines ``# name: text`` (at least source,
licence and confidence), a row of column names with their units, and rows of
numbers. In a long table the first column is a key, and rows of one key make one
curve.
"""

from dataclasses import dataclass

from benchassist.physics.spectra import Curve

REQUIRED_HEAD = ("source", "licence", "confidence")


class TableError(ValueError):
    """A data table that cannot be read; the message names the line."""


@dataclass(frozen=True, slots=True)
class Table:
    """A parsed table: what is said about it, its column names, its rows as text."""

    head: dict[str, str]
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def curve(self, x: str, y: str, *, key: str | None = None) -> Curve:
        """Return two columns as a curve, of one key only where the table has keys.

        Raises
        ------
        TableError
            If a column or the key is missing or a cell is not a number.
        """
        for name in (x, y):
            if name not in self.columns:
                message = f"The table has no column {name}."
                raise TableError(message)
        rows = [row for row in self.rows if key is None or row[0] == key]
        if not rows:
            message = f"The table has no rows for {key}."
            raise TableError(message)
        column_x, column_y = self.columns.index(x), self.columns.index(y)
        try:
            return Curve(
                nm=tuple(float(row[column_x]) for row in rows),
                values=tuple(float(row[column_y]) for row in rows),
            )
        except ValueError as error:
            message = f"A cell of {x} or {y} is not a number: {error}."
            raise TableError(message) from None

    def keys(self) -> tuple[str, ...]:
        """Return the keys of a long table in the order of their first row."""
        return tuple(dict.fromkeys(row[0] for row in self.rows))


def parse_table(text: str) -> Table:
    """Parse the text of a data table.

    Raises
    ------
    TableError
        If the head lacks source, licence or confidence, or a row has too few or
        too many cells.
    """
    head: dict[str, str] = {}
    columns: tuple[str, ...] = ()
    rows: list[tuple[str, ...]] = []
    for number, line in enumerate(text.splitlines(), start=1):
        if line.startswith("#"):
            name, _, value = line[1:].partition(":")
            head[name.strip()] = value.strip()
        elif not line.strip():
            continue
        elif not columns:
            columns = tuple(cell.strip() for cell in line.split(","))
        else:
            cells = tuple(cell.strip() for cell in line.split(","))
            if len(cells) != len(columns):
                message = (
                    f"Line {number} has {len(cells)} cells; {len(columns)} are "
                    f"expected: {', '.join(columns)}."
                )
                raise TableError(message)
            rows.append(cells)
    missing = [name for name in REQUIRED_HEAD if not head.get(name)]
    if missing:
        message = f"The head of the table does not say its {' and '.join(missing)}."
        raise TableError(message)
    if not rows:
        raise TableError("The table has no rows.")
    return Table(head=head, columns=columns, rows=tuple(rows))
