"""``python -m benchassist`` does what ``benchassist`` does."""

import sys

from benchassist.cli import main

if __name__ == "__main__":
    sys.exit(main())
