"""Where stories write their journals."""

import shutil
import tempfile
from pathlib import Path

import pytest

MEMORY = Path("/dev/shm")  # noqa: S108 - Linux keeps it in memory; unused elsewhere


@pytest.fixture(scope="session")
def new_quick_folder(tmp_path_factory):
    """Return what makes empty folders, in memory where there is one.

    A story writes thousands of entries and each waits for the disk; what the disk
    does with them is tested where the journal is.
    """
    root = tmp_path_factory.mktemp("stories")
    if MEMORY.is_dir():
        root = Path(tempfile.mkdtemp(prefix="benchassist-", dir=MEMORY))
    yield lambda: Path(tempfile.mkdtemp(dir=root))
    shutil.rmtree(root)


@pytest.fixture
def quick_folder(new_quick_folder):
    """Return an empty folder."""
    return new_quick_folder()
