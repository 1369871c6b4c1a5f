"""What a scanner typed: a label of a bottle, or one of our own on a tray or a bag.

A scanner is a keyboard. ``read`` takes what it typed and returns what the label says,
or one sentence why it is not taken; nothing is guessed, because a wrong lot on a
record is worse than a lot typed by hand.
"""

from benchassist.scan.errors import AmbiguousScanError, ScanError
from benchassist.scan.label import Label
from benchassist.scan.reading import join, read

__all__ = ["AmbiguousScanError", "Label", "ScanError", "join", "read"]
