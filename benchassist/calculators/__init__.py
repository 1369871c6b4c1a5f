"""Checked questions put to the physics; knows no Qt, journal or bench state."""
