"""Places on the shelf of a box: rows at the left, the shelf drawn at the right."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.filing import keep_photo, photos
from benchassist.ui.host import Host
from benchassist.ui.picker import PICTURES, look_for
from benchassist.ui.present import box_places
from benchassist.ui.sheet import SheetPage
from benchassist.ui.shelf_plan import ShelfPlan
from benchassist.ui.theme import Theme
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.ui.worker import Job
from benchassist.value import replace


class BoxPlacesPage(SheetPage):
    """The places of one box at a time; the draft is kept until it is held."""

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        self._draft: box_places.PlacesDraft | None = None
        self._photo = ("", b"")
        self._plan = ShelfPlan(host.look, self)
        self.setAccessibleName(say("Places on a box's shelf"))

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the draft on the bench as it is now."""
        if self._draft is None or self._draft.box not in bench.boxes:
            self._draft = box_places.begun(bench)
        self._show(bench, now, self._draft)

    def did(self, action: object) -> None:
        """Take a turn of a row into the draft."""
        bench, now = self._host.session.bench, self._host.session.now()
        draft = self._draft or box_places.begun(bench)
        self._draft = box_places.done(bench, draft, action)
        self._show(bench, now, self._draft)

    def _show(self, bench: Bench, now: Instant, draft: box_places.PlacesDraft) -> None:
        kept = draft.plan.photo
        if kept and self._photo[0] != kept:
            self._photo = (kept, b"")
            work = partial(photos, (kept,), self._host.desk.folder)
            Job(work, self._found, self.said.emit).start()
        self._plan.show_plan(draft.plan, draft.at, self._photo[1] if kept else b"")
        self.show_sheet(box_places.sheet(bench, draft, now))

    def choose(self, option: Option) -> bool:
        """Look for a photo of the shelf."""
        if not isinstance(option.command, box_places.PickShelf):
            return super().choose(option)
        look_for(self, say("A photo"), str(Path.home()), PICTURES).fileSelected.connect(
            self.add_photo
        )
        return True

    def add_photo(self, path: str) -> None:
        """Keep a photo of the shelf beside the journal; it is written with the plan."""
        work = partial(keep_photo, Path(path).expanduser(), self._host.desk.folder)
        Job(work, self._kept, self.said.emit).start()

    def _kept(self, digest: object) -> None:
        if self._draft is not None:
            plan = replace(self._draft.plan, photo=str(digest))
            self._draft = replace(self._draft, plan=plan)
            self.fill(self._host.session.bench, self._host.session.now())

    def _found(self, found: object) -> None:
        if isinstance(found, tuple) and found:
            photo = found[0]
            self._photo = (photo.digest, photo.data)
            if photo.amiss:
                self.said.emit(
                    say(
                        "Photo {file} {amiss}.",
                        file=photo.digest[:8],
                        amiss=photo.amiss,
                    )
                )
            self.fill(self._host.session.bench, self._host.session.now())

    def set_theme(self, theme: Theme) -> None:
        """Show the page in another theme."""
        self._plan.theme = theme
        super().set_theme(theme)

    def fit(self) -> None:
        """Place everything for the width there is."""
        super().fit()
        self._plan.setGeometry(self._beside.geometry())
        self._plan.raise_()
