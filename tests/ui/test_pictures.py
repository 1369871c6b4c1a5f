"""The pictures of the README are what the program shows.

``python -m tests.ui.test_pictures`` makes them anew.
"""

import tempfile
from pathlib import Path

import pytest
from PySide6.QtGui import QImage

from benchassist import assets
from tests.ui.measures import pixels_of
from tests.ui.screens import MOMENTS, Stage

# What is shown, by the name of its file: a moment and a size in pixels.
PICTURES = {
    "stop_1366": ("stop", (1366, 768)),
    "walk_1366": ("walk light", (1366, 768)),
    "queue_1366": ("queue", (1366, 768)),
    "what_now_1366": ("what now", (1366, 768)),
}
MM_PER_PIXEL = 0.253
DIFFERENT = 32  # [of 255] more than letters drawn by another version differ
MOST = 0.01  # [ratio] of the points

pytestmark = pytest.mark.slow  # once, in the checkout


def made(name, folder):
    """Return the window of a picture as it is now."""
    moment, size = PICTURES[name]
    stage = Stage(MOMENTS[moment], folder)
    stage.show_on(size, MM_PER_PIXEL, "dark")
    picture = stage.window.grab().toImage()
    stage.close()
    return picture


def grey(picture):
    pixels = pixels_of(picture).astype(int)
    return ((pixels >> 16) + (pixels >> 8 & 255) + (pixels & 255)) / 3


@pytest.mark.usefixtures("_fonts")
@pytest.mark.parametrize("name", PICTURES)
def test_no_picture_of_the_readme_is_stale(name, tmp_path):
    kept = QImage.fromData(assets.read_bytes("resources", "pictures", f"{name}.png"))
    now = made(name, tmp_path)

    assert kept.size() == now.size()
    assert (abs(grey(kept) - grey(now)) > DIFFERENT).mean() < MOST


def test_every_picture_that_is_shipped_is_one_of_these():
    folder = assets.folder("resources").joinpath("pictures")

    assert {file.name for file in folder.iterdir()} == {f"{n}.png" for n in PICTURES}


if __name__ == "__main__":
    from benchassist.app import application

    application()
    beside = Path(__file__).parents[2] / "resources" / "pictures"
    with tempfile.TemporaryDirectory() as spare:
        for each in PICTURES:
            made(each, Path(spare)).save(str(beside / f"{each}.png"))
