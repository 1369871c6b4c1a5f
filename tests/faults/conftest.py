"""What these tests do to a process and to a disk has POSIX names only."""

import sys

collect_ignore_glob = ["test_journal_*.py"] if sys.platform == "win32" else []
