"""The pages beside the bench: opened on one key, left by Esc."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, QProcess, QSize, Signal

from benchassist.domain.commands import Command, EnterLate, FileLibrary, held
from benchassist.domain.decide import decide
from benchassist.domain.outcome import Refusal
from benchassist.domain.words import sentences
from benchassist.scan import ScanError
from benchassist.session import Session
from benchassist.ui.actions import (
    AskRecovery,
    BlankText,
    ExportDay,
    ImportLibrary,
    MeasureBar,
    OpenPage,
    OpenStory,
    SetUp,
    StartOther,
    TakeBottle,
    TellMishap,
)
from benchassist.ui.bench import Bench
from benchassist.ui.desk import Desk
from benchassist.ui.filing import read_file
from benchassist.ui.form import FormPage
from benchassist.ui.hands import Hands
from benchassist.ui.page import Page
from benchassist.ui.places import BY_KEY, OWN, make
from benchassist.ui.present import (
    bottle,
    hands,
    late,
    mishap,
    own_bench,
    owned,
    pages,
    tables,
)
from benchassist.ui.present.forms import FormError
from benchassist.ui.present.pages import command_of, texts_to_blank
from benchassist.ui.present.record import record
from benchassist.ui.present.setup import MeasureError, Station, mm_per_pixel, setup
from benchassist.ui.ruler import RulerPage
from benchassist.ui.settings import Settings
from benchassist.ui.table import TablePage
from benchassist.ui.theme import Theme, load_palette, theme_for
from benchassist.ui.view import FormView, TableView
from benchassist.ui.words import say
from benchassist.ui.worker import Job
from benchassist.value import replace

# Pages of hand actions, left after the one that was done.
LEFT = (
    *("change", "acts", "deviations", "people"),
    *("claims", "learning", "confirm", "how-well"),
)


def theme_of(settings: Settings, desk: Desk, size: QSize) -> Theme:
    """Return the theme for a window of ``size``, as the settings want it."""
    palette = load_palette("light" if settings.theme == "light" else "dark")
    mm_per_px = settings.mm_per_pixel or desk.mm_per_pixel()
    return theme_for(palette, mm_per_px=mm_per_px, size=size)


class Pages(QObject):
    """Turns the pages and keeps the settings that one of them changes.

    Signals: ``turned()`` when the program itself changed the page, ``said(str)`` a
    sentence for the operator, ``chosen(object)`` a command or an action of the
    window, ``restyled()`` when theme or screen size changed, ``recovery_asked(str)``
    when the window is to make room for the read-only one, and why, ``closing()`` when
    it is to make room for another bench.
    """

    turned = Signal()
    said = Signal(str)
    chosen = Signal(object)
    restyled = Signal()
    recovery_asked = Signal(str)
    closing = Signal()

    def __init__(
        self,
        session: Session,
        desk: Desk,
        settings: Settings,
        bench: Bench,
        theme: Theme,
    ) -> None:
        super().__init__(bench)
        self._session = session
        self._desk = desk
        self.settings = settings
        self._name = ""
        self._case: TellMishap | None = None
        self._whose = ""  # the part that a mishap is told of
        self._wanted: TakeBottle | None = None  # a bottle that is not on the shelf yet
        self._filling: Command | None = None
        self._stated = ""  # the title of the form that it was told in
        self._back = ""  # where a form that was held leads
        self._come = ""  # the shelf's page that a form was opened from
        self._second = 0
        self._bench = bench
        self._look = theme
        self._form: FormPage | None = None
        self._table: TablePage | None = None
        self._ruler: RulerPage | None = None
        self._own: dict[str, Page] = {}
        self.outlets = ("", "")  # what plays and what speaks, by name
        bench.page_left.connect(self._left)
        bench.key_unused.connect(self._key)

    def _mm_per_pixel(self) -> float:
        return self.settings.mm_per_pixel or self._desk.mm_per_pixel()

    def set_theme(self, theme: Theme) -> None:
        """Show the pages in another theme."""
        self._look = theme
        made = self._own.values()
        for page in (self._form, self._table, self._ruler, *made):
            if page is not None:
                page.set_theme(theme)

    def use(self, session: Session) -> None:
        """Fill the pages from another session."""
        self._session = session

    def learned(self, key: int) -> None:
        """Keep ``key`` as the pedal's."""
        self.said.emit(self.set_up(pedal_key=key) or say("The pedal is learned."))

    def open(self, name: str, error: str = "") -> None:
        """Open the page called ``name``; an empty name is the bench itself."""
        if not name:
            self.leave()
            return
        if name == "what-now":
            self._whose = self._session.bench.focus
        if name in ("what-now", "advice"):
            self._case = None
        page = self._filled(name, error)
        if name in own_bench.FORMS and self._name != name:
            # Entered from the shelf it leads back there, else on along the path.
            self._come = self._name if self._name.startswith(owned.PAGE) else ""
        elif name != "confirm" and name not in own_bench.FORMS:
            self._come = ""
        self._name = name
        self._bench.open_page(page)
        self.turned.emit()

    def refresh(self) -> None:
        """Fill the open page anew after a hand action; the list of actions closes."""
        if self._name == "confirm" and self._back:
            self._form, back, self._back = None, self._back, ""
            self.open(back)
        elif self._name in LEFT:
            self.leave()
        elif self._name == "mishap" and self._told():
            self.open("advice")
        elif self._name:
            self.open(self._name)

    def pass_time(self) -> None:
        """Let time pass on the page that is open."""
        now = self._session.now()
        if self._name in self._own:
            self._own[self._name].pass_time(self._session.bench, now)
        elif self._name in tables.LIVE and self._table is not None:
            second, self._second = self._second, now.mono_ms // 1000
            if second != self._second:
                view = tables.TABLES[self._name](self._session.bench, now)
                self._table.show_view(view)

    def leave(self) -> None:
        """Go back to the bench."""
        self._bench.close_page()
        self._left()

    def _left(self) -> None:
        self._name, self._wanted = "", None
        self.turned.emit()

    def _key(self, key: str) -> None:
        """Go to the place of a letter, the same from everywhere."""
        letter = key.upper()
        if letter == "I":
            other = "dark" if self.settings.theme == "light" else "light"
            self.said.emit(self.set_up(theme=other))
            self.restyled.emit()
        elif letter == "O":
            self.open("people")
        elif letter in BY_KEY:
            self.open(BY_KEY[letter].page)

    def _filled(self, name: str, error: str) -> Page:
        """Return the page filled; each kind is made when first opened."""
        if name in ("advice", "mishap"):
            name = "what-now" if self._asking() else "branch"
        if name in OWN:
            return self._own_page(name)
        if name == "ruler":
            self._ruler = self._ruler or RulerPage(self._look, self._bench.hands)
            self._ruler.show_size(self._mm_per_pixel(), error)
            return self._ruler
        view = self._view(name, error)
        if isinstance(view, TableView):
            if self._table is None:
                self._table = TablePage(self._look, self._bench.hands)
                self._table.asked.connect(self.chosen)
            self._table.show_view(view)
            return self._table
        if self._form is None:
            self._form = FormPage(self._look, self._bench.hands)
            self._form.submitted.connect(self._submitted)
            self._form.asked.connect(self.chosen)
        self._form.show_view(view, pages.back(name))
        return self._form

    def _asking(self) -> bool:
        """Say whether the mishap that is told has a question left."""
        case, bench = self._case, self._session.bench
        return case is not None and bool(mishap.next_question(bench, self._whose, case))

    @property
    def told(self) -> tuple[str, TellMishap | None]:
        """The part that a mishap is told of, and what was told; None: long ago."""
        return self._whose, self._case

    def _own_page(self, name: str) -> Page:
        """Return a page of the places' own folder, filled with the bench as it is."""
        if name not in self._own:
            page = self._own[name] = make(name, self)
            page.asked.connect(self.chosen)
            page.said.connect(self.said)
        self._own[name].fill(self._session.bench, self._session.now())
        return self._own[name]

    @property
    def name(self) -> str:
        """The page that is open; none: the bench itself."""
        return self._name

    @property
    def check(self) -> tuple[str, str] | None:
        """The check that the open page asks the foot about, if it asks one."""
        return self._own[self._name].check if self._name in self._own else None

    @property
    def look(self) -> Theme:
        """The theme that pages are made in."""
        return self._look

    @property
    def hands(self) -> Hands:
        """The hands that buttons of pages are pressed by."""
        return self._bench.hands

    @property
    def session(self) -> Session:
        """The session that pages ask; what they want done they tell by a signal."""
        return self._session

    @property
    def desk(self) -> Desk:
        """The machine that the window stands on."""
        return self._desk

    def _view(  # noqa: PLR0911 - one a kind of page
        self, name: str, error: str
    ) -> FormView | TableView:
        state, now = self._session.bench, self._session.now()
        if name == "setup":
            mm, folder = self._mm_per_pixel(), str(self._desk.folder)
            return setup(self.settings, Station(folder, mm, *self.outlets), error)
        if name == "record":
            return record(self._session.journal.head, str(self._desk.folder), error)
        if name == "bottle" and self._wanted is not None:
            return bottle.new(state, self._wanted, error)
        found = pages.form(state, name, error) or owned.page(state, name)
        if found is not None:
            return found
        if name == "confirm" and self._filling is not None:
            if isinstance(self._filling, EnterLate):
                return late.confirm(state, self._filling, now)
            return hands.confirm(state, self._filling, self._stated)
        return tables.TABLES.get(name, pages.equipment)(state, now)

    def take(self, action: object) -> bool:
        """Do an action that belongs to the pages; say whether it was one."""
        page = self._own.get(self._name)
        return (page is not None and page.fill_in(action)) or self._did(action)

    def _did(self, action: object) -> bool:  # noqa: C901 - one a kind of action
        match action:
            case OpenPage():
                self.open(action.page)
            case OpenStory():
                self._own_page("story").take(action)
            case TellMishap():
                self.tell(action)
            case TakeBottle():
                self._take_bottle(action)
            case SetUp():
                self._set_up(action)
            case MeasureBar():
                self._measured(action)
            case AskRecovery():
                self.recovery_asked.emit(action.why)
            case BlankText():
                self._blank(action)
            case ImportLibrary():
                self.said.emit(say("Reading …"))
                path = Path(action.path).expanduser()
                Job(partial(read_file, path), self._file, self._say).start()
            case StartOther():
                self._start_other(action)
            case ExportDay():
                self.leave()  # a page would hide what is said
                self.said.emit(say("Writing …"))
                asked = replace(action, out=action.out or self.settings.folder)
                Job(self._desk.export(asked), self._say, self._say).start()
            case _:
                own = self._own.get(self._name)
                return own is not None and own.take(action)
        return True

    def _set_up(self, action: SetUp) -> None:
        """Keep a setting, and show the page it stands on."""
        amiss = self.set_up(**{action.field: action.value})
        if action.field == "out_folder":
            self.open("export")
            self.said.emit(amiss or say("Files go into {value}.", value=action.value))
            return
        self.open("setup", amiss)
        self.restyled.emit()

    def _file(self, command: object) -> None:
        """File a library that was read, and say what came of it."""
        if not isinstance(command, FileLibrary):
            return
        outcome = self._session.handle(command, "hand")
        refusal = outcome.refusal
        if refusal is None:
            self.said.emit(say("Filed: {many} entries.", many=len(outcome.entries)))
            self.refresh()
        else:
            told = sentences(refusal.message, refusal.remedy, say("Nothing was filed."))
            self.said.emit(told)

    def _start_other(self, action: StartOther) -> None:
        """Open another bench, then leave room for it."""
        place = ["--data", str(Path(action.folder).expanduser())]
        words = place if action.folder else [f"--{action.kind}"]
        if QProcess.startDetached(sys.executable, ["-m", "benchassist", *words])[0]:
            self.closing.emit()
        else:
            self.said.emit(
                say("It cannot be started. From a shell: benchassist --demo.")
            )

    def _blank(self, action: BlankText) -> None:
        """Remove typed texts; a field that cannot be read is said."""
        try:
            entries, reason = texts_to_blank(action.typed)
        except FormError as error:
            self.open("record", str(error))
            return
        refusal = self._session.blank_text(entries, reason).refusal
        if refusal is not None:
            self.open("record", refusal.sentence)
            return
        self.leave()
        self.said.emit(say("The text is removed. Copies made before still have it."))

    def _say(self, sentence: object) -> None:
        self.said.emit(str(sentence))

    def set_up(self, **values: object) -> str:
        """Keep settings; return a sentence where the file cannot be written."""
        self.settings = self.settings.changed(**values)
        return self._desk.keep(self.settings)

    def offer_start(self) -> None:
        """Ask what the bench shall be while nothing is on file, else for the ruler."""
        bench = self._session.bench
        if bench.store and bench.store.kind == "real" and not bench.recipes:
            self.open("own-bench" if bench.operator else "first-start")
        else:
            self.offer_ruler()

    def offer_ruler(self) -> None:
        """Show the ruler, once, on a screen that was never measured."""
        if not (self.settings.mm_per_pixel or self.settings.ruler_offered):
            self.set_up(ruler_offered=True)
            self.open("ruler")

    def _measured(self, bar: MeasureBar) -> None:
        try:
            size = mm_per_pixel(bar.bar_px, bar.mm)
        except MeasureError as error:
            self.open("ruler", str(error))
            return
        amiss = self.set_up(mm_per_pixel=size)
        self.said.emit(amiss or say("Measured: {size:.4f} mm per pixel.", size=size))
        self.leave()
        self.restyled.emit()

    def tell(self, case: TellMishap) -> None:
        """Ask a mishap's next question; after the last, show its branch to be held."""
        self._case = case
        self.open("mishap")

    def _told(self) -> bool:
        """Return whether the branch that was shown has been held."""
        case, bench = self._case, self._session.bench
        return case is not None and mishap.reported(bench, self._whose, case)

    def _submitted(self, name: str, values: dict[str, str]) -> None:
        try:
            command = command_of(self._session.bench, name, values, self._session.now())
        except (FormError, ValueError) as error:
            self.open(name, str(error))
            return
        if held(command):
            self._hold(name, command)
            return
        refusal = self._session.handle(command, "hand").refusal
        if refusal is not None:
            self.open(name, refusal.sentence)
        else:
            self._handed_in(name, command)

    def _take_bottle(self, wanted: TakeBottle) -> None:
        """Use the bottle that was scanned; one that is new comes onto the shelf."""
        try:
            command = bottle.taken(self._session.bench, wanted)
        except ScanError as error:
            self.said.emit(str(error))
            return
        if command is not None:
            self._session.handle(command, "hand")
            return
        self._wanted = wanted
        self.open("bottle")
        self.said.emit(say("Not on the shelf yet: Enter keeps it, and takes it."))

    def _handed_in(self, name: str, command: Command) -> None:
        """Go where a form leads; it is empty when it is opened again."""
        self._form = None
        wanted, self._wanted = self._wanted, None
        if wanted is not None and isinstance(command, FileLibrary):
            self.leave()
            self._take_bottle(replace(wanted, typed=command.lots[0].code))
            return
        self.open(self._come or pages.back(name))

    def scanned(self, text: str) -> None:
        """Do what a label is about that was scanned where nothing is filled in."""
        from benchassist.ui.present.scanned import meant  # noqa: PLC0415 - few scan

        found = meant(self._session.bench, text, self._session.now())
        if found.take is not None:
            self.chosen.emit(found.take)
            self.turned.emit()
        self.said.emit(found.said)
        if found.offer is not None:
            self._hold("", found.offer)
        elif found.form:
            self._form = None
            self.open(found.form)
            for form in self._bench.findChildren(FormPage):
                form.scan(found.text)

    def _hold(self, name: str, command: Command) -> None:
        """Ask for a hold on what a form told, once the bench would take it."""
        refusal = decide(self._session.bench, command, self._session.now())
        if isinstance(refusal, Refusal):
            told = refusal.sentence
            self.open(name, told) if name else self.said.emit(told)
            return
        form = pages.form(self._session.bench, name)
        self._filling, self._stated = command, form.title if form else ""
        self._back = self._come or pages.back(name)
        self.open("confirm")
