"""The plates of a set: serial numbers side by side, then one transformer with one of its cores at a time."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QVBoxLayout, QWidget

from app.desk import Change, Desk
from app.ui.dialogs.plate_parts import CoreDialog, SectionsDialog, TapDialog, with_taps
from app.ui.pages import plate_edits as edits
from app.ui.pages.plate_form import PlateForm
from app.ui.shell import class_words
from app.ui.shell.faces import Faces
from app.ui.shell.fields import FormField
from app.ui.shell.foot import Foot
from app.ui.shell.part import Part
from app.ui.shell.scroll import Scroll
from app.ui.shell.sets_panel import SetsPanel
from app.ui.texts import text
from ctcore.job import CT, Core, Position, Tap

if TYPE_CHECKING:
    from app.ui.window import MainWindow

NARROW = 900


class PlatePage(QWidget):
    """Each field is kept as it is left; what is refused stays in its field with the reason."""

    page_id = "plate"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.ct_id, self.core_id = "", ""
        self._head, self.sets = Faces("sets"), SetsPanel()
        self._head.asked.connect(lambda face: window.deeds.do(face))
        self.sets.core_asked.connect(self.show_core)
        self.sets.ct_asked.connect(self.show_ct)
        self.form = PlateForm()
        self.form.kept.connect(self._keep)
        self.form.asked.connect(self._ask)
        self.form.finished.connect(lambda: self.buttons["copy"].setFocus())
        self._scroll = Scroll(self.form)
        self._lay_out()

    # What is shown

    def show_ct(self, ct_id: str) -> None:
        """Show the plate of a transformer, at the core number that was shown before."""
        found = self._ct(ct_id)
        if found is None:
            return
        number = next((core.number for core in found[1].cores if core.core_id == self.core_id), None)
        before = self._ct(self.ct_id)
        if before is not None and number is None:
            number = next((core.number for core in before[1].cores if core.core_id == self.core_id), None)
        self.ct_id = ct_id
        cores = found[1].cores
        same = next((core.core_id for core in cores if core.number == number), "")
        self.core_id = same or (cores[0].core_id if cores else "")
        self._fill()

    def show_core(self, core_id: str) -> None:
        """Show a core with the plate that it stands on; without one the first plate of the job."""
        view = self._window.session.view
        cts = [ct for position in view.job.positions for ct in position.cts] if view else []
        own = next((ct for ct in cts if edits.core_of(ct, core_id) is not None), None)
        if own is not None:
            self.ct_id, self.core_id = own.ct_id, core_id
        elif cts:
            self.ct_id = cts[0].ct_id
            self.core_id = cts[0].cores[0].core_id if cts[0].cores else ""
        self._fill()

    def show_change(self, change: Change) -> None:
        """Draw again; a plate that is gone gives way to the first one."""
        self.sets.show_change(change, self.core_id)
        found = self._ct(self.ct_id)
        if found is None or edits.core_of(found[1], self.core_id) is None:
            self.show_core(found[1].cores[0].core_id if found and found[1].cores else "")
        else:
            self._fill()

    def first_focus(self) -> None:
        """The first field that has to be stated, else the first one."""
        fields = [field for field in self.form.fields if not field.locked]
        wanted = next((field for field in fields if field.must_be_stated and not field.line.text()), None)
        if wanted is not None or fields:
            (wanted or fields[0]).line.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.buttons["add_set"].setFocus()

    def parts(self) -> list[Part]:
        """Form, buttons, sets."""
        return [
            Part(self.form, self.first_focus),
            Part(self._foot, self.buttons["copy"].setFocus),
            Part(self.sets, self.show_sets),
        ]

    def show_sets(self) -> None:
        """The sets take the focus; on a narrow screen they come and go."""
        if self.width() < NARROW:
            self._fold(shown=self.sets.isHidden())
        if self.sets.isVisible():
            self.sets.first_focus()
        else:
            self.first_focus()

    def _ct(self, ct_id: str) -> tuple[Position, CT] | None:
        view = self._window.session.view
        for position in view.job.positions if view else ():
            for ct in position.cts:
                if ct.ct_id == ct_id:
                    return position, ct
        return None

    def _fill(self) -> None:
        found = self._ct(self.ct_id)
        view = self._window.session.view
        assert view is not None
        focus = QApplication.focusWidget()
        key = self.form.key_of(focus) if self.isVisible() else None
        self.form.show_plate(
            found, self.core_id, settings=self._window.settings, locked=view.read_only_reason is not None
        )
        self.sets.set_here(self.core_id)
        if key is not None and key in self.form.by_key and focus is not self.form.by_key[key].line:
            self.form.by_key[key].line.setFocus(Qt.FocusReason.OtherFocusReason)
        locked = text("plate.locked") if view.read_only_reason else ""
        nothing = "" if found else text("plate.no_plate")
        for name, button in self.buttons.items():
            button.set_reason(locked or ("" if name == "add_set" else nothing))
        if found and len(found[0].cts) < 2 and not locked:
            self.buttons["copy"].set_reason(text("plate.no_sister"))

    # What is kept

    def _keep(self, key: tuple[str, ...], words: str) -> None:
        kind, name, *rest = key
        field = self.form.by_key[key]
        found = self._ct(self.ct_id)
        if found is None:
            return
        position, _ = found
        if kind == "position":
            changed = {"name_text": position.name_text, "p1_faces_text": position.p1_faces_text, name: words}
            self._do(
                lambda desk, job_id: desk.set_position(job_id, position.position_id, **changed), field, words
            )
        elif kind == "serial":
            self._edit(rest[0], lambda ct: dataclasses.replace(ct, serial_text=words), field, words)
        elif kind == "plan":
            core_id = rest[0]
            self._edit(
                self.ct_id,
                lambda ct: edits.with_core(ct, core_id, lambda core: edits.plan(core, name, words == "yes")),
                field,
                words,
            )
        else:
            self._keep_answer(kind, name, rest, field, words)

    def _keep_answer(self, kind: str, name: str, rest: list[str], field: FormField, words: str) -> None:
        asks = {"ct": edits.CT_ASKS, "core": edits.CORE_ASKS, "tap": edits.TAP_ASKS}[kind]
        ask = next(entry for entry in asks if entry.name == name)
        if name == "class_text" and not class_words.check(field):
            self.form.hold(field, words)
            return
        value, reason = edits.answer(ask, words, self._window.settings)
        if reason:
            field.say(reason)
            self.form.hold(field, words)
            return

        def put(part: Any) -> Any:
            return dataclasses.replace(part, **{name: value})

        def change(ct: CT) -> CT:
            if kind == "ct":
                return put(ct)
            if kind == "core":
                return edits.with_core(ct, rest[0], put)
            return edits.with_core(ct, rest[0], lambda core: edits.with_tap(core, rest[1], put))

        self._edit(self.ct_id, change, field, words)

    def _edit(self, ct_id: str, change: Callable[[CT], CT], field: FormField | None, words: str = "") -> None:
        """Change the plate as it stands when the verb runs, so that quick fields do not undo each other."""

        def verb(desk: Desk, job_id: str) -> Change:
            job = desk.view(job_id).job
            ct = next(ct for position in job.positions for ct in position.cts if ct.ct_id == ct_id)
            return desk.set_ct(job_id, change(ct))

        self._do(verb, field, words)

    def _do(self, verb: Callable[[Desk, str], Change], field: FormField | None, words: str = "") -> None:
        if field is None:
            self._window.session.do(verb)
            return
        key = self.form.key_of(field.line)

        def refused(sentence: str) -> None:
            field.say(sentence)
            self.form.hold(field, words)

        def done(_change: Change) -> None:
            if key is not None:
                self.form.let_go(key)

        self.form.let_go(key) if key is not None else None
        self._window.session.do(verb, refused=refused, done=done)

    # Verbs

    def _ask(self, name: str, what: str) -> None:
        if name == "ct":
            self.show_ct(what)
        elif name == "core":
            self.show_core(what)
        elif name == "offer_plan":
            self._offer_plan()
        elif name == "take_out":
            core_id = self.core_id
            self._edit(
                self.ct_id,
                lambda ct: edits.with_core(ct, core_id, lambda core: edits.without_tap(core, what)),
                None,
            )

    def _offer_plan(self) -> None:
        """Plan every core of the set shown, each by its own class and duty."""
        found = self._ct(self.ct_id)
        core_ids = [core.core_id for ct in found[0].cts for core in ct.cores] if found else []
        self._window.session.do(lambda desk, job_id: desk.offer_plan(job_id, core_ids))

    def _add_tap(self) -> None:
        core = self._core()
        if core is not None:
            dialog = TapDialog(self._window, core)
            dialog.made.connect(
                lambda tap: self._put_taps(lambda old: (*old.taps, self._as_sister(tap)), dialog)
            )
            dialog.open()

    def _as_sister(self, tap: Tap) -> Tap:
        """The tap under the id of the same terminals on a sister phase, so that both stand side by side."""
        found, core = self._ct(self.ct_id), self._core()
        sisters = [
            other
            for ct in (found[0].cts if found else ())
            for one in ct.cores
            if core is not None and one.number == core.number
            for other in one.taps
        ]
        known = next((one.tap_id for one in sisters if one.terminals_text == tap.terminals_text), tap.tap_id)
        return dataclasses.replace(tap, tap_id=known)

    def _add_sections(self) -> None:
        core = self._core()
        if core is not None:
            dialog = SectionsDialog(self._window, core)
            dialog.made.connect(lambda taps: self._put_taps(lambda _old: taps, dialog))
            dialog.open()

    def _add_core(self) -> None:
        found = self._ct(self.ct_id)
        if found is None:
            return
        dialog = CoreDialog(self._window, found[1].cores)

        def add(core: Core) -> None:
            self.core_id = core.core_id
            self._put(lambda ct: dataclasses.replace(ct, cores=(*ct.cores, core)), dialog)

        dialog.made.connect(add)
        dialog.open()

    def _put_taps(self, taps: Callable[[Core], Any], dialog: TapDialog | SectionsDialog) -> None:
        core_id = self.core_id
        self._put(
            lambda ct: edits.with_core(ct, core_id, lambda core: with_taps(core, tuple(taps(core)))), dialog
        )

    def _put(self, change: Callable[[CT], CT], dialog: TapDialog | SectionsDialog | CoreDialog) -> None:
        ct_id = self.ct_id

        def verb(desk: Desk, job_id: str) -> Change:
            job = desk.view(job_id).job
            ct = next(ct for position in job.positions for ct in position.cts if ct.ct_id == ct_id)
            return desk.set_ct(job_id, change(ct))

        self._window.session.do(verb, refused=dialog.say, done=lambda _change: dialog.accept())

    def _copy(self) -> None:
        found = self._ct(self.ct_id)
        if found is None:
            return
        position, ct = found
        sisters = [other for other in position.cts if other.ct_id != ct.ct_id]
        ids, names = [other.ct_id for other in sisters], ", ".join(other.phase_text for other in sisters)
        self._window.session.do(
            lambda desk, job_id: desk.copy_plate(job_id, ct.ct_id, ids),
            done=lambda _change: self._window.bar.note(text("plate.copied", phases=names)),
        )

    def _core(self) -> Core | None:
        found = self._ct(self.ct_id)
        return edits.core_of(found[1], self.core_id) if found else None

    # Parts

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(0)
        left.addWidget(self._head)
        left.addWidget(self.sets, 1)
        self._foot = Foot(
            "plate",
            (
                ("add_set", "Ctrl+D", lambda: self._window.deeds.do("add_set")),
                ("add_core", "Alt+C", self._add_core),
                ("add_tap", "Alt+R", self._add_tap),
                ("sections", "Alt+T", self._add_sections),
                ("worksheet", "Ctrl+W", self._to_worksheet),
                ("copy", "Alt+S", self._copy),
            ),
        )
        self.buttons = self._foot.buttons
        right = QVBoxLayout()
        right.setSpacing(0)
        right.addWidget(self._scroll, 1)
        right.addWidget(self._foot)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addLayout(left)
        row.addLayout(right, 1)

    def _to_worksheet(self) -> None:
        if self.core_id:
            self._window.go_to(self.core_id)

    def _fold(self, *, shown: bool) -> None:
        narrow = self.width() < NARROW
        self._head.setVisible(shown)
        self.sets.setVisible(shown)
        self._scroll.setVisible(not (narrow and shown))
        self.buttons["add_core"].setVisible(not narrow)
        self.buttons["sections"].setVisible(not narrow)
        self.buttons["add_set"].setVisible(not narrow)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Below 900 logical pixels the sets fold away; F8 brings them."""
        super().resizeEvent(event)
        self._fold(shown=self.width() >= NARROW)
