"""Colours, type and millimetres: how the screen looks, and nothing of what it says.

Sizes are millimetres on the glass, because what can be read at 1.5 m does not depend
on pixels. Its contrast is measured by the tests, plain and through orange glasses.
"""

from __future__ import annotations

import json
from dataclasses import field, fields
from functools import lru_cache
from math import ceil
from typing import Final, Literal

from PySide6.QtCore import QByteArray, QPointF, QSize
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QPainter,
    QPixmap,
)

from benchassist import assets
from benchassist.value import value

# Capital heights in mm. At 1.5 m: 20 arcmin = 8.73, 16 arcmin = 6.98; at 0.7 m:
# 20 arcmin = 4.07, 16 arcmin = 3.26. ISO 9241-3 asks for 16 and prefers 20 to 22
# arcmin (as quoted on public ergonomics pages). 40 and 60 arcmin for the part's code
# and the digits of a countdown are common practice, no source.
DIGITS: Final = 26.2
CODE: Final = 17.5
MUST: Final = 8.75
FAR_LEAST: Final = 7.0
READ: Final = 4.1
NEAR: Final = 3.4

# A far text that fits may grow so far on a screen with room to spare.
LARGEST_SCALE: Final = 1.2
REFERENCE_MM: Final = (345.0, 194.0)  # [mm] the smallest screen the layout is for

FAMILIES: Final = ("Atkinson Hyperlegible Next", "Bench Symbols", "DejaVu Sans")
PLAIN: Final = QFont.Weight.Normal
STRONG: Final = QFont.Weight.DemiBold
HEAVY: Final = QFont.Weight.ExtraBold

_TALLEST: Final = "ÅÖ"  # no plain letter reaches higher, in no size
MOST_WIDTHS: Final = 2000  # [texts] a day of countdowns has more than a page of words
LARGEST_KEPT_PX: Final = 64  # [px] Qt keeps the shapes of letters up to this size
MOST_DRAWN: Final = 40  # [texts] a face: the parts in work and to spare, 0.2 MB each
BESIDE_PX: Final = 4  # [px] beside a picture of letters: some lean out of their width


@value
class Palette:
    """The colours by what they are for, each as ``#rrggbb``.

    ``faint`` never carries what must be read. ``letters`` go on a filled ground of
    ``attention``, ``stop``, ``measured`` or ``good``; ``plate`` lies under the bars of
    STOP, ``held`` under words that are kept down.
    """

    ground: str
    card: str
    raised: str
    line: str
    ink: str
    quiet: str
    faint: str
    attention: str
    measured: str
    good: str
    stop: str
    letters: str
    plate: str
    held: str


@value
class Face:
    """A font at one size, in pixels: its capitals, and the tallest of its letters."""

    font: QFont
    metrics: QFontMetricsF
    cap: float
    rise: float
    _widths: dict[str, float] = field(default_factory=dict, compare=False, repr=False)
    _drawn: dict[tuple[str, str, float], QPixmap] = field(
        default_factory=dict, compare=False, repr=False
    )

    def width(self, text: str) -> float:
        """Return how far ``text`` runs, in pixels."""
        known = self._widths.get(text)
        if known is None:
            # Most words come back at the next look; measuring is what a look costs.
            if len(self._widths) > MOST_WIDTHS:
                self._widths.clear()
            known = self._widths[text] = self.metrics.horizontalAdvance(text)
        return known

    def draw(self, painter: QPainter, text: str, at: QPointF, ink: str) -> None:
        """Draw ``text`` from the point ``at`` on its base line.

        Qt keeps the shapes of small letters. Large ones it fills as outlines each
        time, which takes thirty times as long: their pictures are kept here.
        """
        if self.font.pixelSize() <= LARGEST_KEPT_PX:
            painter.setFont(self.font)
            painter.setPen(QColor(ink))
            painter.drawText(at, text)
            return
        ratio = painter.device().devicePixelRatio()
        known = self._drawn.get((text, ink, ratio))
        if known is None:
            if len(self._drawn) >= MOST_DRAWN:
                self._drawn.clear()
            known = self._drawn[text, ink, ratio] = self._picture(text, ink, ratio)
        painter.drawPixmap(QPointF(at.x() - BESIDE_PX, at.y() - self._top), known)

    @property
    def _top(self) -> float:
        return ceil(self.metrics.ascent())

    def _picture(self, text: str, ink: str, ratio: float) -> QPixmap:
        """Return ``text`` on nothing, with room beside it for what leans out."""
        wide = ceil(self.width(text)) + 2 * BESIDE_PX
        high = self._top + ceil(self.metrics.descent())
        picture = QPixmap(round(wide * ratio), round(high * ratio))
        picture.setDevicePixelRatio(ratio)
        picture.fill(QColor(0, 0, 0, 0))
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font)
        painter.setPen(QColor(ink))
        painter.drawText(QPointF(BESIDE_PX, self._top), text)
        painter.end()
        return picture

    @property
    def depth(self) -> float:
        """How far letters reach below the line they stand on, in pixels."""
        return self.metrics.descent()

    @property
    def pitch(self) -> float:
        """Distance between two lines of this face, in pixels."""
        return self.cap * 1.8


@value
class Theme:
    """A palette on a screen of ``mm_per_px``; ``scale`` above 1 where there is room."""

    palette: Palette
    mm_per_px: float
    scale: float = 1.0

    def px(self, mm: float) -> int:
        """Return ``mm`` on the glass in whole pixels, at least one."""
        return max(1, round(mm * self.scale / self.mm_per_px))

    def face(self, cap_mm: float, weight: QFont.Weight = PLAIN) -> Face:
        """Return the face whose capitals are at least ``cap_mm`` high."""
        return _face(cap_mm * self.scale / self.mm_per_px, weight.value)


def theme_for(palette: Palette, *, mm_per_px: float, size: QSize) -> Theme:
    """Return the theme for a window of ``size`` pixels.

    Raises
    ------
    ValueError
        If ``mm_per_px`` is not a length a screen can have.
    """
    if not 0.05 <= mm_per_px <= 1.0:  # noqa: PLR2004 - [mm] finest to coarsest pixel
        message = f"{mm_per_px} mm per pixel is not a screen; measure it with a ruler."
        raise ValueError(message)
    room = min(
        size.width() * mm_per_px / REFERENCE_MM[0],
        size.height() * mm_per_px / REFERENCE_MM[1],
    )
    return Theme(palette, mm_per_px, min(LARGEST_SCALE, max(1.0, room)))


def load_palette(name: Literal["dark", "light"]) -> Palette:
    """Return one of the palettes that the program ships."""
    roles = json.loads(assets.read_text("resources", "theme", f"{name}.json"))
    return Palette(**{role.name: roles[role.name] for role in fields(Palette)})


def load_fonts() -> None:
    """Register the shipped fonts; without them the system's sans serif stands in."""
    for file in assets.folder("resources").joinpath("fonts").iterdir():
        if file.name.endswith(".ttf"):
            QFontDatabase.addApplicationFontFromData(QByteArray(file.read_bytes()))
    _face.cache_clear()  # what was measured before stood in for them


@lru_cache(maxsize=256)
def _face(cap_px: float, weight: int) -> Face:
    font = QFont(list(FAMILIES))
    font.setWeight(QFont.Weight(weight))
    # Figures of equal width, so that a countdown stands still.
    font.setFeature(QFont.Tag("tnum"), 1)
    font.setPixelSize(1000)
    per_cap = 1000 / QFontMetricsF(font).capHeight()
    font.setPixelSize(ceil(cap_px * per_cap))
    metrics = QFontMetricsF(font)
    rise = -metrics.tightBoundingRect(_TALLEST).top()
    return Face(font, metrics, metrics.capHeight(), rise)
