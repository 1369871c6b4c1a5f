"""Bench assistant with timers for finishing 3D-printed resin restorations.

The package itself holds only its version and imports nothing.
"""

__version__ = "0.1.0"
