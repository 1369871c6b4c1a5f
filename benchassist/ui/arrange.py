"""Where everything stands: far things keep their millimetres, near things give way.

Works out one rectangle for each widget that is seen; what has none is hidden.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

from benchassist.ui.parts import Parts
from benchassist.ui.theme import Theme
from benchassist.ui.view import BenchView

Places: TypeAlias = dict[QWidget, QRect]

THREE_COLUMNS_MM = 400.0  # [mm] from here on near things get a column of their own
TITLE_MM = 8.0  # [mm] of the title above the list


@dataclass(frozen=True)
class Scene:
    """What is to be placed: the view, and what the hands have opened."""

    view: BenchView
    page: QWidget | None
    drawer: int


def places(parts: Parts, theme: Theme, area: QRect, now: Scene) -> Places:
    """Return where each widget stands in ``area``."""
    placed: Places = {}
    middle = _frame(parts, theme, area, placed)
    view = now.view
    if now.page is not None:
        top = _band(parts, theme, middle, placed)
        placed[now.page] = middle.adjusted(0, top, 0, 0)
        return placed
    middle = _foot_of_middle(parts, theme, middle, view, placed)
    if view.spots is not None:
        _walk(parts, theme, middle, view, placed)
    elif view.light is not None:
        _light(parts, theme, middle, placed)
    else:
        _overview(parts, theme, middle, now, placed)
    return placed


def _frame(parts: Parts, theme: Theme, area: QRect, placed: Places) -> QRect:
    """Place status bar, NEXT, PEDAL and hints; return what lies between them."""
    width, bottom = area.width(), area.height()
    top = parts.status.height_for(width)
    placed[parts.status] = QRect(0, 0, width, top)
    for line in (parts.hints, parts.pedal, parts.next):
        height = line.height_for(width)
        bottom -= height
        placed[line] = QRect(0, bottom, width, height)
    edge = theme.px(4.0)
    middle = QRect(edge, top + theme.px(2.6), width - 2 * edge, 0)
    middle.setBottom(bottom - theme.px(2.6))
    return middle


def _foot_of_middle(
    parts: Parts, theme: Theme, middle: QRect, view: BenchView, placed: Places
) -> QRect:
    """Place undo, and over everything the field or the message; return what is left."""
    foot = middle.bottom()
    if view.undo is not None:
        height = parts.undo.height_for(middle.width())
        foot -= height
        placed[parts.undo] = QRect(0, foot, middle.width() + 2 * middle.x(), height)
        foot -= theme.px(2.0)
    over = middle.bottom()
    if parts.entry.option is not None:
        height = parts.entry.height_for(middle.width())
        placed[parts.entry] = QRect(middle.x(), over - height, middle.width(), height)
        over -= height
    if view.message:
        width = middle.width() + 2 * middle.x()
        height = parts.message.height_for(width)
        over = min(over, foot)
        placed[parts.message] = QRect(0, over - height, width, height)
    left = QRect(middle)
    left.setBottom(foot)
    return left


def _band(parts: Parts, theme: Theme, column: QRect, placed: Places) -> int:
    """Place the band at the top of ``column``; return how much it takes."""
    height = parts.band.height_for(column.width())
    placed[parts.band] = QRect(column.x(), column.y(), column.width(), height)
    return height + theme.px(4.5)


def _headline(parts: Parts, theme: Theme, column: QRect, placed: Places) -> int:
    """Place headline and subline; return how much they take."""
    inset = theme.px(2.5)
    width = column.width() - 2 * inset
    height = parts.headline.height_for(width)
    placed[parts.headline] = QRect(column.x() + inset, column.y(), width, height)
    return height + theme.px(3.0)


def _options(parts: Parts, column: QRect, placed: Places) -> int:
    """Place the options at the foot of ``column``; return how much they take."""
    height = parts.options.height_for(column.width())
    if height:
        top = column.bottom() - height
        placed[parts.options] = QRect(column.x(), top, column.width(), height)
    return height


def _walk(
    parts: Parts, theme: Theme, middle: QRect, view: BenchView, placed: Places
) -> None:
    """Place a spot walk: band, headline, countdown, segment and coat."""
    rest = middle.adjusted(0, _band(parts, theme, middle, placed), 0, 0)
    rest.adjust(0, _headline(parts, theme, rest, placed), 0, 0)
    rest.adjust(0, 0, 0, -_options(parts, rest, placed))
    gap = theme.px(4.0)
    spots = view.spots
    whole = spots is not None and spots.last - spots.first == len(spots.states)
    left = round(rest.width() * 0.35)
    inset = 0 if whole else round(rest.width() * 0.235)
    right_x = rest.right() - inset + 1
    segment_right = right_x - (gap if inset else 0)
    placed[parts.segment] = QRect(
        rest.x() + left + gap,
        rest.y(),
        segment_right - rest.x() - left - gap,
        rest.height(),
    )
    if inset:
        placed[parts.coat] = QRect(right_x, rest.y(), inset, rest.height())
    column = QRect(rest.x(), rest.y(), left, rest.height()).adjusted(
        theme.px(2.5), 0, 0, 0
    )
    wet = parts.wet.height_for()
    foot = column.bottom() - wet + 1
    if view.spots is not None and view.spots.wet_text:
        placed[parts.wet] = QRect(column.x(), foot, column.width(), wet)
    if view.countdown is not None:
        height = parts.countdown.height_for(column.width())
        placed[parts.countdown] = QRect(column.x(), column.y(), column.width(), height)


def _light(parts: Parts, theme: Theme, middle: QRect, placed: Places) -> None:
    """Place a light check: band, headline at the left, the check around it."""
    rest = middle.adjusted(0, _band(parts, theme, middle, placed), 0, 0)
    rest.adjust(theme.px(2.5), 0, 0, -_options(parts, rest, placed))
    half = QRect(rest)
    half.setWidth((rest.width() - theme.px(10.0)) // 2)
    parts.light.headline_px = _headline(parts, theme, half, placed)
    headline = placed[parts.headline]
    headline.moveLeft(rest.x())
    placed[parts.light] = rest


def _overview(
    parts: Parts, theme: Theme, middle: QRect, now: Scene, placed: Places
) -> None:
    """Place the bench while no lamp is in hand."""
    view, gap = now.view, theme.px(4.5)
    rest = QRect(middle)
    if view.band.word in ("DO", "STOP"):
        rest.adjust(0, _band(parts, theme, middle, placed), 0, 0)
    near = bool(view.card or view.bars or view.gates)
    wide = near and middle.width() >= theme.px(THREE_COLUMNS_MM)
    shares = (0.42, 0.28, 0.30) if wide else (0.515, 0.485)
    columns = []
    x = rest.x()
    for share in shares:
        width = round((rest.width() - gap * (len(shares) - 1)) * share)
        columns.append(QRect(x, rest.y(), width, rest.height()))
        x += width + gap
    near_left = not wide
    _left(parts, theme, columns[0], now, placed, panels=near_left or bool(view.card))
    if wide:
        _near(parts, theme, columns[1], now, placed)
        _rows(parts, theme, columns[2], placed)
    elif view.card is not None:
        placed[parts.card] = columns[1]
    elif now.drawer and near:
        _drawer(parts, columns[1], now, placed)
    else:
        _rows(parts, theme, columns[1], placed)


def _left(
    parts: Parts,
    theme: Theme,
    column: QRect,
    now: Scene,
    placed: Places,
    *,
    panels: bool,
) -> None:
    """Place band, headline, countdown, then what fits of cautions and panels."""
    rest = QRect(column)
    if parts.band not in placed:
        rest.adjust(0, _band(parts, theme, rest, placed), 0, 0)
    rest.adjust(0, _headline(parts, theme, rest, placed), 0, 0)
    rest.adjust(0, 0, 0, -_options(parts, rest, placed))
    inset = theme.px(2.5)
    width = rest.width() - 2 * inset
    if now.view.countdown is not None:
        height = parts.countdown.height_for(width)
        placed[parts.countdown] = QRect(rest.x() + inset, rest.y(), width, height)
        rest.adjust(0, height + theme.px(4.0), 0, 0)
    if now.view.cautions:
        height = parts.cautions.height_for(width)
        if height <= rest.height():
            top = rest.bottom() - height
            placed[parts.cautions] = QRect(rest.x() + inset, top, width, height)
            rest.adjust(0, 0, 0, -height - theme.px(3.0))
    if panels and now.view.panels:
        height = parts.panels.height_for(rest.width(), rest.height())
        if height:
            top = rest.bottom() - height + 1
            placed[parts.panels] = QRect(rest.x(), top, rest.width(), height)


def _near(
    parts: Parts, theme: Theme, column: QRect, now: Scene, placed: Places
) -> None:
    """Fill the middle column of a wide screen."""
    if now.view.card is not None:
        placed[parts.card] = column
        return
    gap, top = theme.px(5.0), column.y()
    width = column.width()
    stack: list[tuple[QWidget, int]] = []
    if now.view.panels:
        stack.append((parts.panels, parts.panels.height_for(width, column.height())))
    if now.view.bars:
        stack.append((parts.bars, parts.bars.height_for(width)))
    if now.view.gates:
        stack.append((parts.gates, parts.gates.height_for(width)))
    for widget, height in stack:
        room = column.bottom() - top + 1
        # Gates drop the reasons of what passed where the column is short.
        given = min(height, room) if widget is parts.gates else height
        if 0 < given <= room:
            placed[widget] = QRect(column.x(), top, width, given)
            top += given + gap


def _drawer(parts: Parts, column: QRect, now: Scene, placed: Places) -> None:
    """Show ledger or gates where the list was."""
    drawers: list[QWidget] = []
    if now.view.bars:
        drawers.append(parts.bars)
    if now.view.gates:
        drawers.append(parts.gates)
    placed[drawers[(now.drawer - 1) % len(drawers)]] = column


def _rows(parts: Parts, theme: Theme, column: QRect, placed: Places) -> None:
    """Place the list and its title."""
    title = theme.px(TITLE_MM)
    placed[parts.rows_title] = QRect(column.x(), column.y(), column.width(), title)
    rows = column.adjusted(0, title, 0, 0)
    if parts.rows.count():
        placed[parts.rows] = rows
    else:
        placed[parts.rows_title] = column
