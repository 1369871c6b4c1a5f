"""Colours as the eye has them: their contrast, plain and through orange glasses."""

from PySide6.QtGui import QColor, QImage, QPainter

_SRGB_KNEE = 0.04045  # WCAG 2, relative luminance, as corrected in May 2021


def luminance(colour: str) -> float:
    """Return the relative luminance of ``#rrggbb``, 0 to 1 (WCAG 2 definition)."""
    encoded = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        value / 12.92 if value <= _SRGB_KNEE else ((value + 0.055) / 1.055) ** 2.4
        for value in encoded
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2 definition)."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def amber(colour: str) -> str:
    """Return what orange protective glasses leave of ``#rrggbb``.

    Encoded green halves, blue goes. Common practice, no source: filters differ.
    """
    return f"{colour[:3]}{round(int(colour[3:5], 16) / 2):02x}00"


def amber_picture(picture: QImage) -> QImage:
    """Return a picture as seen through orange protective glasses."""
    seen = picture.convertToFormat(QImage.Format.Format_RGB32)
    painter = QPainter(seen)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Multiply)
    painter.fillRect(seen.rect(), QColor(amber("#ffffff")))
    painter.end()
    return seen
