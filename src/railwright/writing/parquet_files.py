"""Tables as Parquet, with the type of every column; needs the library pyarrow, which only this format wants."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from pathlib import Path
from typing import Any

from railwright.reporting.tables import Column, Value

#: Rows kept in memory at a time.
_BATCH = 20_000


class NoParquet(Exception):
    """The library that writes Parquet is not installed; the message says how to get it."""


def write_parquet(columns: Sequence[Column], rows: Iterable[tuple[Value, ...]], path: Path) -> int:
    """Write a table as one Parquet file.

    Args:
        columns: left to right; their units and meanings go into the file too.
        rows: taken batch by batch.
        path: the file to write; its folder is made.

    Returns:
        The number of rows.

    Raises:
        NoParquet: pyarrow is not installed.
    """
    arrow, parquet = _libraries()
    path.parent.mkdir(parents=True, exist_ok=True)
    schema = arrow.schema([_field(arrow, column) for column in columns])
    count, taken = 0, iter(rows)
    with parquet.ParquetWriter(path, schema) as writer:
        for batch in _batches(taken):
            count += len(batch)
            arrays = [
                arrow.array(values, type=field.type)
                for values, field in zip(zip(*batch, strict=True), schema, strict=True)
            ]
            writer.write_table(arrow.Table.from_arrays(arrays, schema=schema))
    return count


def _libraries() -> tuple[Any, Any]:
    try:
        import pyarrow
        import pyarrow.parquet
    except ImportError as trouble:
        raise NoParquet(
            'Parquet needs one more library: python -m pip install ".[parquet]". CSV needs none'
        ) from trouble
    return pyarrow, pyarrow.parquet


def _field(arrow: Any, column: Column) -> Any:
    types = {
        "words": arrow.string(),
        "day": arrow.date32(),
        "count": arrow.int64(),
        "number": arrow.float64(),
        "share": arrow.float64(),
        "money": arrow.decimal128(18, 4),
        "flag": arrow.bool_(),
    }
    about = {"unit": column.unit, "meaning": column.help}
    return arrow.field(column.key, types[column.kind], metadata={key: text for key, text in about.items() if text})


def _batches(rows: Iterator[tuple[Value, ...]]) -> Iterator[list[tuple[Value, ...]]]:
    while batch := list(islice(rows, _BATCH)):
        yield batch
