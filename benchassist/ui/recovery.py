"""A window on a record that is not written to: it shows what can be read, and ways on.

It opens where the ordinary window must not: the record is damaged, or a later version
of the program wrote it. It has no session, and nothing of it reaches the journal.
"""

from __future__ import annotations

from functools import partial

from PySide6.QtGui import QCloseEvent, QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QMainWindow, QVBoxLayout, QWidget

from benchassist import readable
from benchassist.clock import Clock
from benchassist.ui.desk import Desk
from benchassist.ui.entry import Entry
from benchassist.ui.hands import Hands
from benchassist.ui.page import PageLabel, style_sheet
from benchassist.ui.pedal import Pedal
from benchassist.ui.present.recovery import ENDS, HINT, WORKING, Act, Why
from benchassist.ui.present.recovery import recovery as view_of
from benchassist.ui.settings import Settings
from benchassist.ui.table import TablePage
from benchassist.ui.theme import HEAVY, READ, Theme, load_palette, theme_for
from benchassist.ui.ticker import Ticker
from benchassist.ui.view import Option, TableView
from benchassist.ui.ways_on import way_on
from benchassist.ui.words import say
from benchassist.ui.worker import Job

MARGIN_MM = 5.0
SAID_MM = 4.6  # [mm] capitals of what was done; a choice


class Ground(QWidget):
    """The ground of the window, in the theme's colour."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Fill the ground."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), QColor(self.theme.palette.ground))
        painter.end()


class RecoveryWindow(QMainWindow):
    """What is left of a record, and what can be done about it.

    ``again`` is true once something was done after which the bench may open.
    """

    def __init__(
        self, desk: Desk, settings: Settings, real: Clock, *, said: str, why: Why
    ) -> None:
        super().__init__()
        self._folder, self._real = desk.folder, real
        self._refused, self._why = said, why
        self._broken: readable.Broken | None = None
        self._mm = settings.mm_per_pixel or desk.mm_per_pixel()
        self._palette = load_palette("light" if settings.theme == "light" else "dark")
        self.again = self._done = self._story = False
        theme = self._theme()
        self.ticker = Ticker(real, self)
        self.pedal = Pedal(real, self.ticker, self)
        self.pedal.key_down.connect(self._key)
        self._ground = Ground(theme, self)
        self._hands = Hands(real, self.ticker, self)
        self.pedal.key_up.connect(self._hands.key_up)
        self._hands.chosen.connect(self._chosen)
        self.page = TablePage(theme, self._hands)
        self.said = PageLabel(SAID_MM, HEAVY, role="ink")
        self._hint = PageLabel(READ, role="quiet")
        self._hint.setText(HINT)
        self._entry = Entry(theme, self._hands, self._ground)
        self._entry.entered.connect(self._entered)
        self._entry.left.connect(self._wire)
        box = QVBoxLayout(self._ground)
        self.said.setWordWrap(True)
        for part in (self.page, self.said, self._hint):
            box.addWidget(part)
        box.setStretchFactor(self.page, 1)
        self.setCentralWidget(self._ground)
        self.setWindowTitle(
            say("Bench Assist, read only, {folder}", folder=desk.folder)
        )
        self._dress()
        self._show()
        self._look()

    def _theme(self) -> Theme:
        return theme_for(self._palette, mm_per_px=self._mm, size=self.size())

    def _dress(self) -> None:
        theme = self._theme()
        self._ground.theme = theme
        self._ground.setStyleSheet(style_sheet(theme))
        for part in (self.page, self._entry, self.said, self._hint):
            part.set_theme(theme)
        margin = theme.px(MARGIN_MM)
        self._ground.setContentsMargins(margin, margin, margin, margin)
        self._place_entry()

    def _place_entry(self) -> None:
        inner = self._ground.contentsRect()
        width = inner.width() * 2 // 3
        height = self._entry.height_for(width)
        left = inner.x() + (inner.width() - width) // 2
        self._entry.setGeometry(left, inner.bottom() - height, width, height)
        self._entry.arrange()

    # --- looking ---------------------------------------------------------------

    def _look(self) -> None:
        Job(partial(readable.look, self._folder), self._found, self._failed).start()

    def _found(self, broken: object) -> None:
        if isinstance(broken, readable.Broken):
            self._broken = broken
        self._show()

    def _failed(self, sentence: str) -> None:
        self._found(self._broken or readable.Broken((), 0, 0, 0, amiss=sentence))

    def _show(self) -> None:
        self.page.show_view(
            view_of(self._broken, said=self._refused, why=self._why, done=self._done)
        )
        self._wire()

    def _wire(self) -> None:
        asking = self._entry.option is not None
        self._hands.show_buttons((self._entry if asking else self.page).buttons())

    # --- acting ----------------------------------------------------------------

    def _key(self, key: str) -> None:
        if self._hands.key_down(key) or self._entry.option is not None:
            return
        if key == "Esc" and self._story:
            self._story = False
            self._show()
        elif key == "Esc":
            self.close()
        else:
            self.page.key(key)

    def _chosen(self, option: Option) -> None:
        if self._entry.option is not None:
            self._entry.choose(option)
        elif option.needs_text:
            self._entry.ask(option)
            self._place_entry()
            self._entry.raise_()
            self._wire()
        elif option.command == Act("open"):
            self.again = True
            self.close()
        else:
            self._entered(option, "")

    def _entered(self, option: Option, typed: str) -> None:
        self._wire()
        if isinstance(option.command, Act):
            self.said.setText(WORKING)
            what = option.command.what
            done = partial(self._acted, what)
            work = way_on(what, self._folder, typed, self._real)
            Job(work, done, self.said.setText).start()

    def _acted(self, what: str, sentence: object) -> None:
        if isinstance(sentence, TableView):
            self.said.setText("")
            self._story = True
            self.page.show_view(sentence)
            self._wire()
            return
        self.said.setText(str(sentence))
        if what in ENDS:
            self._done = True
            self._look()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Let the type grow with the window."""
        super().resizeEvent(event)
        self._dress()

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        """Stop looking."""
        self.ticker.stop()
        super().closeEvent(event)
