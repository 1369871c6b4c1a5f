"""The pages beside the bench: made once, shown on one key, left by Esc."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from benchassist.ui.form import FormPage
from benchassist.ui.present import hands, pages
from benchassist.ui.table import TablePage
from benchassist.ui.view import FormView, TableView

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench as BenchState
    from benchassist.ui.hands import Hands
    from benchassist.ui.page import Page
    from benchassist.ui.settings import Settings
    from benchassist.ui.theme import Theme

KEYS = {key: page for page, key, _ in pages.PAGES} | {"M": "more"}


class Pages(QObject):
    """Shows the right page for a name.

    Signals: ``submitted(str, dict)`` a form's name and values.
    """

    submitted = Signal(str, dict)

    def __init__(self, theme: Theme, hands_: Hands, folder: str) -> None:
        super().__init__()
        self._form = FormPage(theme, hands_)
        self._table = TablePage(theme, hands_)
        self._folder = folder
        self._form.submitted.connect(self.submitted)

    def page(
        self, name: str, bench: BenchState, now: Instant, settings: Settings, error: str
    ) -> Page:
        """Return the page called ``name``, filled with what is true now."""
        view = self._view(name, bench, now, settings, error)
        if isinstance(view, FormView):
            self._form.show_view(view)
            return self._form
        self._table.show_view(view)
        return self._table

    def set_theme(self, theme: Theme) -> None:
        """Show the pages in another theme."""
        self._form.set_theme(theme)
        self._table.set_theme(theme)

    def _view(
        self, name: str, bench: BenchState, now: Instant, settings: Settings, error: str
    ) -> FormView | TableView:
        if name == "setup":
            return pages.setup(settings, self._folder, error)
        if name in pages.FORMS:
            return pages.FORMS[name](bench, error)
        if name == "day":
            return pages.day(bench, now)
        return hands.more(bench) if name == "more" else pages.equipment(bench, now)
