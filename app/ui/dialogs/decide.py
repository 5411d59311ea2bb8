"""A decision about a line: its reason, the limit of a concession, and whether it goes for all alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.fields import FormField
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.review.to_decide import DecideLine
    from app.ui.window import MainWindow

# Why a line goes back; their words stand in the text table under `decide.back.<name>`.
BACK: Final = ("again", "terminals", "method", "instrument", "plate", "links", "missing")


class DecideDialog(DialogFrame):
    """Send back, accept or grant a concession; the reason stands in the record under the name."""

    def __init__(self, window: MainWindow, decision: str, line: DecideLine, keys: list[str]) -> None:
        super().__init__(
            text(f"decide.{decision}.heading"), main=text(f"decide.{decision}.main"), width=680, parent=window
        )
        self._window, self._decision, self._keys = window, decision, keys
        self.body.addWidget(Words(f"{line.place_text}: {line.found_text}"))
        self.body.addWidget(Words(text("decide.name", name=window.settings.me()[1]), role="second"))
        self.listed: FormField | None = None
        self.valid: FormField | None = None
        self.extent: FormField | None = None
        if decision == "sent_back":
            choices = (("", text("decide.back.own")), *((one, text(f"decide.back.{one}")) for one in BACK))
            self.listed = self.add_field(text("reason.caption"), "", choices=choices)
        caption = "decide.own_words" if decision == "sent_back" else "reason.caption"
        self.reason = self.add_field(text(caption), must_be_stated=decision == "concession")
        if decision == "concession":
            self.valid = self.add_field(
                text("decide.valid"), must_be_stated=True, help_text=text("decide.valid_help")
            )
        if len(keys) > 1:
            extents = (("one", text("decide.one")), ("all", text("decide.all", count=len(keys))))
            self.extent = self.add_field(text("decide.extent"), "one", choices=extents)
        self.confirmed.connect(self._decide)

    def reason_text(self) -> str:
        """The reason chosen, with what was said in own words."""
        listed = self.listed.value() if self.listed is not None else ""
        parts = (text(f"decide.back.{listed}") if listed else "", self.reason.value())
        return ": ".join(part for part in parts if part)

    def _decide(self) -> None:
        reason = self.reason_text()
        wanted = self._decision != "accepted"
        if self._refused(self.reason, text("reason.missing") if wanted and not reason else ""):
            return
        valid = self.valid.value() if self.valid is not None else ""
        if self.valid is not None and self._refused(
            self.valid, "" if valid else text("decide.valid_missing")
        ):
            return
        every = self.extent is not None and self.extent.value() == "all"
        keys, decision = self._keys if every else self._keys[:1], self._decision
        self._window.session.do(
            lambda desk, job_id: desk.decide(job_id, keys, decision, reason, valid),  # type: ignore[arg-type]
            refused=self.say,
            done=lambda _change: self._decided(),
        )

    def _refused(self, field: FormField, why: str) -> bool:
        field.say(why)
        if why:
            field.line.setFocus()
            self.fit()
        return bool(why)

    def _decided(self) -> None:
        """The list shows the decision itself; nothing more has to be said."""
        self.accept()
        self._window.bar.clear()
