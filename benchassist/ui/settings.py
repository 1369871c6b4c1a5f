"""What eye, ear and hand like: theme, sound, pedal key, screen size. Never a limit.

A settings file cannot change a verdict; a broken one is put aside with a word.
"""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from benchassist.files import read_text, write_whole
from benchassist.ui.words import say
from benchassist.value import value

SPACE_KEY = 0x20  # Qt.Key.Key_Space
MM_PER_PIXEL = (0.05, 1.0)  # [mm] finer or coarser than any screen sold


OWN_FOLDER = "Bench Assist"  # in the home folder, where nothing was chosen yet


@value
class Settings:
    """The settings of this station; ``mm_per_pixel`` 0 means as Qt reports it.

    ``ruler_offered`` says that the ruler was shown once without being asked for,
    ``out_folder`` is where exports go; empty is a folder of their own at home.
    """

    theme: str = "dark"
    pedal_key: int = SPACE_KEY
    mm_per_pixel: float = 0.0
    ruler_offered: bool = False
    sound: bool = True
    voice: bool = True
    reduced_motion: bool = False
    out_folder: str = ""

    @property
    def folder(self) -> str:
        """Where files go: as chosen, else a folder of their own at home."""
        return self.out_folder or str(Path.home() / OWN_FOLDER)

    def changed(self, **values: Any) -> Settings:  # noqa: ANN401 - field values
        """Return the settings with some values changed."""
        return replace(self, **values)


def load(path: Path) -> tuple[Settings, str]:
    """Return the settings in ``path`` and a sentence when it could not be read."""
    try:
        raw = json.loads(read_text(path))
        usual = asdict(Settings())
        told = {key: type(usual[key])(raw[key]) for key in usual.keys() & raw.keys()}
        settings = Settings(**told)
    except FileNotFoundError:
        return Settings(), ""
    except (OSError, ValueError, TypeError, AttributeError, RecursionError):
        return Settings(), say(
            "The settings in {path} cannot be read; defaults are used.", path=path
        )
    return settings, _amiss(settings)


def _amiss(settings: Settings) -> str:
    if settings.theme not in ("dark", "light"):
        return say("There is no theme “{theme}”; dark is used.", theme=settings.theme)
    low, high = MM_PER_PIXEL
    if settings.mm_per_pixel and not low <= settings.mm_per_pixel <= high:
        return say("The screen's millimetres per pixel cannot be right; measure again.")
    return ""


def save(path: Path, settings: Settings) -> None:
    """Write the settings; raises OSError when the folder cannot be written."""
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, (json.dumps(asdict(settings), indent=2) + "\n").encode())
