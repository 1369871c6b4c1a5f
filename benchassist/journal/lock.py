"""One writer at a time: a lock file that the system frees when its holder dies.

It knows nothing of journals; readers need no lock.
"""

from __future__ import annotations

import errno
import sys
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_HELD = (errno.EAGAIN, errno.EACCES, errno.EDEADLK)  # the three systems' spellings


class FileLock:
    """The only holder of a file; freed by ``release`` or by the process's end."""

    def __init__(self, path: Path) -> None:
        """Take the lock at once.

        Raises
        ------
        BlockingIOError
            If another holder, in this process or any other, has it.
        """
        self._file = path.open("a+b", buffering=0)
        try:
            if sys.platform == "win32":
                self._file.seek(0)
                msvcrt.locking(self._file.fileno(), msvcrt.LK_NBLCK, 1)
            else:
                fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            self._file.close()
            if error.errno not in _HELD:
                raise  # such as a disk that knows no locks
            message = f"{path} is held by another process."
            raise BlockingIOError(error.errno, message) from error

    def release(self) -> None:
        """Give the lock back; the empty file stays."""
        if sys.platform == "win32":
            self._file.seek(0)
            msvcrt.locking(self._file.fileno(), msvcrt.LK_UNLCK, 1)
        self._file.close()
