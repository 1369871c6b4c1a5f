"""What is measured on a window: the text on it, its size, its room, its contrast.

Must-read capitals are 8.7 mm, the part's code 17.5 mm, digits 26 mm, near text 3.3 mm;
contrast is 7:1 plain (WCAG 2, level AAA) and 4.5:1 through orange glasses. Sizes
follow from the visual angles of ISO 9241-3 as quoted, and common practice.
"""

import re
import tomllib
from functools import cache
from itertools import combinations
from pathlib import Path

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF, QImage
from PySide6.QtWidgets import (
    QComboBox,
    QLabel,
    QStyle,
    QStyleOptionComboBox,
    QTableView,
    QWidget,
)

from benchassist import assets
from benchassist.ui.card import CardText
from benchassist.ui.lines import MessageLine
from tests.ui.glasses import amber, contrast

LEAST_MM = {
    "digits": 26.0,
    "code": 17.5,
    "must": 8.7,
    "far": 7.0,
    "near": 3.3,
    "ornament": 3.3,
}
FAR = ("digits", "code", "must", "far")
CELL_PX = 2  # of the room beside a cell's words, which may be missing
# Not words to say: units, keys, the name, a file of the example.
UNITS = {
    "csv",
    "½t",
    "assist",
    "jdx",
    "spdx",
    "tmp",
    "mm",
    "nm",
    "cm",
    "min",
    "mw",
    "mj",
    "ml",
    "klx",
    "px",
    "esc",
    "enter",
}
LEAST_PLAIN, LEAST_AMBER = 7.0, 4.5
# What each encoded value is worth in light (WCAG 2 definition).
LINEAR = np.array(
    [
        v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4
        for v in np.arange(256) / 255
    ]
)


def inner_of(widget):
    """Return what a widget paints its text on."""
    return widget.viewport() if hasattr(widget, "viewport") else widget


def texts(bench):
    """Return all text runs on the screen with their boxes in the bench's pixels."""
    found = []
    for widget in bench.findChildren(QWidget):
        if not widget.isVisible() or not callable(getattr(widget, "runs", None)):
            continue
        inner = inner_of(widget)
        offset = inner.mapTo(bench, inner.rect().topLeft())
        found += [(widget, run, run.rect.translated(offset)) for run in widget.runs()]
    return found


def text_of(runs, reading):
    """Return all words of one reading as one text."""
    return " ".join(run.text for _, run, _ in runs if run.reading == reading)


def cap_mm(font, theme):
    """Return the height of a font's capitals on the glass."""
    return QFontMetricsF(font).capHeight() * theme.mm_per_px


def too_small(bench):
    """Return the texts whose capitals are lower than their distance asks."""
    return [
        (run.text, run.reading)
        for _, run, _ in texts(bench)
        if cap_mm(run.face.font, bench.theme) < LEAST_MM[run.reading]
    ]


def ink_of(run):
    """Return the box of what a run paints, in its widget's pixels."""
    ink = run.face.metrics.tightBoundingRect(run.text)
    ink.translate(run.x, run.baseline)
    return ink


def cut(bench):
    """Return the texts that do not stand whole inside their widget."""
    found = []
    for widget, run, _ in texts(bench):
        room = inner_of(widget).rect().toRectF().adjusted(-1, -1, 1, 1)
        if not room.contains(ink_of(run)):
            found.append((type(widget).__name__, run.text, ink_of(run), room))
    return found


def covered(bench):
    """Return the far texts that something else lies on."""
    found = []
    for widget, run, box in texts(bench):
        if run.reading in FAR:
            for x in (box.left() + 2, box.center().x(), box.right() - 2):
                on_top = bench.childAt(round(x), round(box.center().y()))
                if on_top is not widget:
                    found.append((run.text, on_top))
    return found


def overlapping(bench):
    """Return the pairs of texts of one widget that run into each other."""
    found = []
    for widget in {widget for widget, _, _ in texts(bench)}:
        runs = [(run, ink_of(run)) for run in widget.runs() if run.text.strip()]
        found += [
            (one.text, other.text)
            for (one, box), (other, beside) in combinations(runs, 2)
            if box.adjusted(0.5, 0.5, -0.5, -0.5).intersects(beside)
        ]
    return found


def faint(bench):
    """Return the texts whose colours are too near to each other, plain or in amber."""
    pairs = {(run.ink, run.ground): run for _, run, _ in texts(bench)}
    return [
        run.text
        for (ink, ground), run in pairs.items()
        if contrast(ink, ground) < LEAST_PLAIN
        or contrast(amber(ink), amber(ground)) < LEAST_AMBER
    ]


def pixels_of(picture):
    """Return a picture as rows of 0xrrggbb."""
    plain = picture.convertToFormat(QImage.Format.Format_RGB32)
    rows = np.frombuffer(plain.constBits(), np.uint32).reshape(plain.height(), -1)
    return (rows & 0xFFFFFF).copy()


def contrasts(values, ground):
    """Return the contrast ratios of many 0xrrggbb against one (WCAG 2 definition)."""
    one, many = _luminances(np.array([ground])), _luminances(values)
    return (np.maximum(one, many) + 0.05) / (np.minimum(one, many) + 0.05)


def _luminances(values):
    """Return relative luminances."""
    channels = (values >> 16, values >> 8 & 0xFF, values & 0xFF)
    red, green, blue = (LINEAR[channel] for channel in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def own_pixels(bench):
    """Yield each text with the colours it is painted in, and how often each occurs."""
    pixels = pixels_of(bench.grab().toImage())
    for widget, run, box in texts(bench):
        if bench.childAt(box.center().toPoint()) not in (widget, *widget.children()):
            continue  # a near text under a message
        rows = slice(max(0, int(box.top())), int(box.bottom()))
        columns = slice(max(0, int(box.left())), int(box.right()) + 1)
        yield run, *np.unique(pixels[rows, columns], return_counts=True)


def faint_in_picture(bench):
    """Return the texts that are painted too faintly, plain or in amber.

    Of each text's own pixels the most frequent colour is its ground; its letters
    must hold one that stands out against it. Amber is what the glasses leave of each
    colour: half of the green, no blue.
    """
    found = []
    for run, values, counts in own_pixels(bench):
        ground = values[counts.argmax()]
        plain = contrasts(values, ground).max()
        seen = contrasts(_through_glasses(values), _through_glasses(ground)).max()
        if plain < LEAST_PLAIN or seen < LEAST_AMBER:
            found.append((run.text, f"{ground:06x}", plain, seen))
    return found


def _through_glasses(values):
    return (values & 0xFF0000) | ((values >> 8 & 0xFF) // 2 << 8)


def wrong_grounds(bench):
    """Return the texts that are painted on another ground than they claim."""
    return [
        (run.text, run.ground, f"{values[counts.argmax()]:06x}")
        for run, values, counts in own_pixels(bench)
        if values[counts.argmax()] != int(run.ground[1:], 16)
    ]


def shortened(bench):
    """Return the texts that end in dots because their end was cut away."""
    return [
        (type(widget).__name__, run.text)
        for widget, run, _ in texts(bench)
        if run.text.endswith("…") and not run.text.endswith(" …")
    ]


def low_capitals(bench):
    """Return the far texts whose capitals are painted lower than they must be read.

    By the pixels: the rows of a run's box in which any letter is painted, for runs
    of capitals and digits alone, which have no part below the line.
    """
    pixels = pixels_of(bench.grab().toImage())
    found = []
    for widget, run, box in texts(bench):
        word = run.text.strip()
        if run.reading not in FAR or not word.isascii() or not word.isalnum():
            continue
        if not any(each in "BDEFHIKLMNPRTXZ1457" for each in word) or "Q" in word:
            continue
        if word.upper() != word or bench.childAt(box.center().toPoint()) is not widget:
            continue
        top, foot = int(box.top()), int(box.bottom()) + 1
        cells = pixels[max(0, top) : foot, int(box.left()) : int(box.right()) + 1]
        values, counts = np.unique(cells, return_counts=True)
        ground = values[counts.argmax()]
        painted = contrasts(cells.ravel(), ground).reshape(cells.shape) > LEAST_AMBER
        rows = np.flatnonzero(painted.any(axis=1))
        high = (rows[-1] - rows[0] + 1) * bench.theme.mm_per_px if rows.size else 0.0
        if high < LEAST_MM[run.reading]:
            found.append((run.text, run.reading, round(high, 2)))
    return found


def controls(bench):
    """Yield Qt's own controls in sight: what each says, its room, what it needs."""
    for label in bench.findChildren(QLabel):
        if label.isVisible() and label.text():
            wide = label.contentsRect().width()
            if label.wordWrap():
                yield label, label.text(), label.height(), label.heightForWidth(wide)
            else:
                need = label.fontMetrics().horizontalAdvance(label.text())
                yield label, label.text(), wide, need
    for box in bench.findChildren(QComboBox):
        if box.isVisible():
            inner = box.style().subControlRect(
                QStyle.ComplexControl.CC_ComboBox,
                _styled(box),
                QStyle.SubControl.SC_ComboBoxEditField,
                box,
            )
            for text in (box.itemText(n) for n in range(box.count())):
                need = box.fontMetrics().horizontalAdvance(text)
                yield box, text, inner.width(), need
    for table in bench.findChildren(QTableView):
        if table.isVisible():
            across = table.horizontalScrollBar().maximum()
            yield table, "", CELL_PX, across
            yield from _cells(table)


def _styled(box):
    option = QStyleOptionComboBox()
    box.initStyleOption(option)
    return option


def _cells(table):
    model, header = table.model(), table.horizontalHeader()
    display = Qt.ItemDataRole.DisplayRole
    for column in range(model.columnCount()):
        wide = table.columnWidth(column)
        if header.isVisible():
            text = str(model.headerData(column, Qt.Orientation.Horizontal, display))
            yield table, text, wide, header.fontMetrics().horizontalAdvance(text)
        for row in range(model.rowCount()):
            text = str(model.index(row, column).data(display))
            need = table.fontMetrics().horizontalAdvance(text)
            lines = -(-need // max(1, wide))
            high = table.fontMetrics().lineSpacing()
            if need > wide and lines * high > table.rowHeight(row) + 1:
                yield table, text, wide, need


def hidden(bench):
    """Return the near texts whose middle something else lies on, bar a message."""
    found = []
    for widget, run, box in texts(bench):
        on_top = bench.childAt(box.center().toPoint())
        if run.reading == "near" and run.text.strip():
            if on_top in (widget, inner_of(widget)) or isinstance(on_top, MessageLine):
                continue
            found.append((type(widget).__name__, run.text, type(on_top).__name__))
    return found


def left_out(bench):
    """Return the statements of a card that is answered by hand which it has no room for."""
    found = []
    for card in bench.findChildren(CardText):
        if card.isVisible() and card.view is not None:
            told = " ".join(run.text for run in card.runs())
            found += [each for each in card.view.lines if each not in told]
    return found


def cut_controls(bench):
    """Return what Qt's own controls say that they have no room for."""
    return [
        (type(widget).__name__, text, room, need)
        for widget, text, room, need in controls(bench)
        if need > room
    ]


def unsaid(bench, mark):
    """Return the near words in sight that no look-up was asked for.

    What the record holds is shown as it is: codes, and the words of the files that
    were read. Those are found in them, so nothing else passes.
    """
    told = [run.text for _, run, _ in texts(bench) if run.reading == "near"]
    told += [text for _, text, _, _ in controls(bench)]
    found = []
    for text in told:
        shown = text if "/" not in text else re.sub(r"\S*/\S*", "", text)  # no paths
        words = re.findall(r"[^\W\d_]{2,}", shown)
        plain = [word for word in words if mark not in word.lower()]
        found += [word for word in plain if word.lower() not in known_words()]
    return sorted(set(found))


@cache
def known_words():
    """Return every word that the shipped files may bring: names, notes, units."""
    found = set(UNITS)
    for file in (assets.folder("demo_cases"), assets.folder("resources")):
        for each in Path(str(file)).rglob("*"):
            if each.suffix == ".toml":
                found |= _words(" ".join(_values(tomllib.loads(each.read_text()))))
            elif each.suffix == ".csv":
                found |= _words(each.read_text())
            elif each.suffix == ".txt":
                found |= _words(" ".join(re.findall(r'"(.*?)"', each.read_text())))
    return found


def _values(of):
    """Yield the texts of a file, and not the names of its fields."""
    match of:
        case str():
            yield of
        case dict():
            for each in of.values():
                yield from _values(each)
        case list():
            for each in of:
                yield from _values(each)


def _words(text):
    return {word.lower() for word in re.findall(r"[^\W\d_]{2,}", text)}
