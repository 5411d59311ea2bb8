"""Hand in: signed with the own key to who decides, or frozen under a mere name; then what came of it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtWidgets import QGridLayout, QHeaderView, QSizePolicy

from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.papers import file_name
from app.ui.dialogs.signing import PassphraseDialog, made, tries_of_mine
from app.ui.marks import MarkLabel
from app.ui.models.reasons import ReasonsModel
from app.ui.shell.fields import FormField
from app.ui.shell.identity import become
from app.ui.shell.lettering import Line, Words
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Change, Desk, RevisionLine, View
    from app.desk.keys import KeyLine
    from app.desk.queue import Reason
    from app.ui.window import MainWindow


_WIDE: Final = 840
# What the edges of the dialog take, and the figure before a mark with its gaps.
_MARGINS_PX, _COUNT_PX = 84, 62
_ORDER: Final = ("outside", "refer", "not tested", "within", "not applicable")
_REASONS_SHOWN: Final = 4
_SIGNED, _FROZEN = "signed", "frozen"


def counts(view: View) -> Counter[str]:
    """How many findings of the job have which verdict."""
    return Counter(finding.verdict for findings in view.findings.values() for finding in findings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What handing in depends on: the own key, what is missing, who else is known here."""

    key: KeyLine | None
    reasons: tuple[Reason, ...]
    others: tuple[str, ...]


def standing(desk: Desk, job_id: str) -> Standing:
    """Read what handing in depends on."""
    me = desk.settings.me()[1]
    others = tuple(one.name_text for one in desk.trust().people if one.name_text != me)
    return Standing(key=desk.my_key(), reasons=desk.reasons(job_id, "hand_in"), others=others)


class HandInDialog(PassphraseDialog):
    """Says plainly what signing is, what freezing is, and what they are not."""

    def __init__(self, window: MainWindow, found: Standing) -> None:
        super().__init__(window, text("hand_in.heading"), main=text("hand_in.main"), width=_WIDE)
        from app.desk.papers import DECLARATION_TEXT

        view = window.session.view
        assert view is not None
        self._found = found
        self.way: FormField | None = None
        if found.key is not None:
            ways = tuple((way, text(f"hand_in.way.{way}")) for way in (_SIGNED, _FROZEN))
            self.way = self.add_field(text("hand_in.way"), _SIGNED, choices=ways)
            self.way.line.textChanged.connect(lambda _words: self._follow_way())
        self.name = self.add_field(
            text("hand_in.name"), window.settings.get("person_name_text"), must_be_stated=True
        )
        self.declaration = self.add_field(
            text("hand_in.declaration"), retold(DECLARATION_TEXT), must_be_stated=True
        )
        self.signing: list[FormField] = []
        if found.key is not None:
            self._add_signing(view)
        self.body.addWidget(Line(text("hand_in.counts"), role="second"))
        self.body.addLayout(_counted(view, room_px=min(_WIDE, window.width() - 24) - _MARGINS_PX))
        self.plainly = Words()
        self.body.addWidget(self.plainly)
        self.reasons_head, self.reasons = Words(role="value", bold=True), RuledTable()
        self._add_reasons()
        self._follow_way()
        self.confirmed.connect(self._hand_in)

    @property
    def signed(self) -> bool:
        """Whether it goes out under a signature."""
        return self.way is not None and self.way.value() == _SIGNED

    def _add_signing(self, view: View) -> None:
        to_whom = next(iter(self._found.others), "")
        start = self.window_of.settings.folder / "sheets" / file_name(view, " signed.json")
        self.to_whom = self.add_field(text("hand_in.to_whom"), to_whom, must_be_stated=True)
        self.path = self.add_path(text("hand_in.path"), start)
        self.passphrase = self.add_passphrase(text("passphrase.mine"))
        self.signing = [self.to_whom, self.path, self.passphrase]

    def _add_reasons(self) -> None:
        found = self._found.reasons
        self.reasons.setModel(ReasonsModel(found, self))
        self.reasons.horizontalHeader().hide()
        self.reasons.setAccessibleName(text("hand_in.reasons", count=len(found)))
        self.reasons.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.reasons.setColumnWidth(1, 110)
        self.reasons.setFixedHeight(44 * min(len(found), _REASONS_SHOWN) + 2)
        self.reasons.chosen.connect(self._go_to)
        self.reasons_head.setText(text("hand_in.reasons", count=len(found)))
        self.body.addWidget(self.reasons_head)
        self.body.addWidget(self.reasons)

    def _follow_way(self) -> None:
        signed = self.signed
        for field in self.signing:
            field.setVisible(signed)
        name = "hand_in.plainly_signed" if signed else "hand_in.plainly"
        if self._found.key is None:
            name = "hand_in.plainly_no_key"
        self.plainly.setText(text(name))
        listed = bool(self._found.reasons) and (signed or self._found.key is None)
        self.reasons_head.setVisible(listed)
        self.reasons.setVisible(listed)
        self.fit()

    def _go_to(self, row: int) -> None:
        model = self.reasons.model()
        assert isinstance(model, ReasonsModel)
        reason = model.reason(row)
        if reason is not None and reason.core_id:
            self.accept()
            self.window_of.go_to(reason.core_id, reason.procedure_id)

    def _hand_in(self) -> None:
        self.name.say("" if self.name.value() else text("hand_in.no_name"))
        self.declaration.say("" if self.declaration.value() else text("hand_in.no_declaration"))
        wrong = [field for field in self.form.fields if field.reason and field.isVisible()]
        if wrong:
            wrong[0].line.setFocus()
            return
        if self.signed and self.missing():
            return
        become(self.window_of, self.name.value())
        declaration = self.declaration.value()
        if not self.signed:
            self.window_of.session.do(
                self.window_of.works.watched(
                    "freeze", lambda desk, job_id: desk.freeze(job_id, declaration), aside=self
                ),
                refused=self.say,
                done=self._frozen,
            )
            return
        passphrase, to_whom = self.passphrase.value(), self.to_whom.value()
        path = Path(self.path.value()).expanduser()
        self.run(
            lambda desk, job_id: desk.hand_in(
                job_id, passphrase, to_whom, made(path), declaration_text=declaration
            ),
            tries=tries_of_mine(self.window_of),
            done=lambda change: self._handed_in(change, path),
        )

    def _frozen(self, change: Change) -> None:
        self.accept()
        FrozenDialog(self.window_of, change.view.revisions[-1]).open()

    def _handed_in(self, change: Change, path: Path) -> None:
        self.accept()
        FrozenDialog(self.window_of, change.view.revisions[-1], path=path).open()


class FrozenDialog(DialogFrame):
    """The digest of what was frozen or signed, to be compared with the one on paper."""

    def __init__(self, window: MainWindow, line: RevisionLine, path: Path | None = None) -> None:
        from app.record.canonical import digest_groups

        name = "frozen" if path is None else "handed_in"
        super().__init__(
            text(f"{name}.heading", revision=line.revision), main=text("frozen.main"), width=720,
            parent=window,
        )  # fmt: skip
        self.digest_text = digest_groups(line.digest_hex)
        self.body.addWidget(Words(text("frozen.name", name=line.name_text)))
        if path is not None:
            self.body.addWidget(Words(text("handed_in.file"), role="second"))
            self.body.addWidget(Words(str(path), role="value", bold=True))
        self.body.addWidget(Words(text("frozen.digest"), role="second"))
        self.body.addWidget(Words(self.digest_text, role="heading", bold=True))
        self.body.addWidget(Words(text("hand_in.plainly_after" if path is None else "handed_in.after")))
        self.cancel.set_words(text("dialog.close"))
        self.confirmed.connect(self._go_on)
        self._window = window

    def _go_on(self) -> None:
        self.accept()
        self._window.deeds.sheet()


def _counted(view: View, *, room_px: int) -> QGridLayout:
    """How many findings have which verdict, as marks with their number, as many abreast as have room."""
    from ctcore.findings import VERDICTS

    grid = QGridLayout()
    grid.setHorizontalSpacing(12)
    found = counts(view)
    order = sorted(VERDICTS, key=lambda verdict: _ORDER.index(verdict))
    labels = [MarkLabel(verdict) for verdict in order]
    widest = max(label.sizeHint().width() for label in labels) + _COUNT_PX
    abreast = max(1, min(len(order), room_px // widest))
    for place, (verdict, label) in enumerate(zip(order, labels, strict=True)):
        count = Line(str(found[verdict]), role="heading", bold=True)
        count.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        grid.addWidget(count, place // abreast, 2 * (place % abreast))
        grid.addWidget(label, place // abreast, 2 * (place % abreast) + 1)
    grid.setColumnStretch(2 * abreast, 1)
    return grid
