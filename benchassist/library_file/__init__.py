"""A practice's library file, read into one command: all of it or nothing."""

from benchassist.library_file.faults import LibraryError
from benchassist.library_file.reading import (
    library_schema,
    parse_library,
    read_library,
)
from benchassist.library_file.writing import library_text, write_library

__all__ = [
    "LibraryError",
    "library_schema",
    "library_text",
    "parse_library",
    "read_library",
    "write_library",
]
