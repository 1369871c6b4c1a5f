"""What these tests do to a process and to a disk has POSIX names only."""

import shutil
import subprocess
import sys

collect_ignore_glob = ["test_journal_*.py"] if sys.platform == "win32" else []


def can_trace():
    """Return whether processes may be traced here; some containers forbid it."""
    strace = shutil.which("strace")
    if strace is None:
        return False
    tried = [strace, "-o", "/dev/null", sys.executable, "-c", "pass"]
    return subprocess.run(tried, check=False, capture_output=True).returncode == 0


if not can_trace():
    collect_ignore_glob.append("test_power_cut.py")
