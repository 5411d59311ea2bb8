"""Lines of text in the type of the program, cut with an ellipsis where the place is too narrow."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QFrame, QLabel, QSizePolicy, QWidget

from app.ui import theme


class Line(QLabel):
    """One line of text; the whole of it is its accessible name and, where it was cut, its tool tip.

    Qt: a label only for its role, which a screen reader reads by; it draws itself (6.11).
    """

    def __init__(
        self, text: str = "", *, role: str = "value", bold: bool = False, parent: QWidget | None = None
    ):
        super().__init__(parent)
        self._text, self._role, self._bold = text, role, bold
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(text)

    @property
    def text(self) -> str:  # type: ignore[override]
        """The whole text."""
        return self._text

    def set_text(self, text: str) -> None:
        """Show another text."""
        if text == self._text:
            return
        self._text = text
        self.setAccessibleName(text)
        self.updateGeometry()
        self.update()

    def _metrics(self) -> QFontMetricsF:
        return QFontMetricsF(theme.font(self._role, bold=self._bold))

    def sizeHint(self) -> QSize:
        """As wide as the whole text."""
        metrics = self._metrics()
        return QSize(int(metrics.horizontalAdvance(self._text)) + 2, int(metrics.height()) + 1)

    def minimumSizeHint(self) -> QSize:
        """Room for a few letters; the rest is cut."""
        return QSize(min(40, self.sizeHint().width()), self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw what fits."""
        painter = QPainter(self)
        painter.setFont(theme.font(self._role, bold=self._bold))
        painter.setPen(theme.color("label" if self._role == "label" else "ink"))
        shown = self._metrics().elidedText(self._text, Qt.TextElideMode.ElideRight, self.width())
        self.setToolTip(self._text if shown != self._text else "")
        painter.drawText(
            QRectF(self.rect()), Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown
        )


class Words(QLabel):
    """Running text that breaks into lines."""

    def __init__(
        self, text: str = "", *, role: str = "finding", bold: bool = False, parent: QWidget | None = None
    ):
        super().__init__(text, parent)
        self.setFont(theme.font(role, bold=bold))
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)


class WholeWords(Words):
    """Running text that nothing squeezes: what is around it scrolls or gives way."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for the lines that it takes at this width."""
        super().resizeEvent(event)
        self.setMinimumHeight(max(0, self.heightForWidth(event.size().width())))


class Panel(QFrame):
    """A plain area in one colour of the theme, with black rules on the edges named."""

    def __init__(
        self, role: str = "sheet", *, rules: str = "", weight: int = 1, parent: QWidget | None = None
    ):
        super().__init__(parent)
        self._role, self._rules, self._weight = role, rules, weight

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Fill the area and draw its rules."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color(self._role))
        strong = self._weight > 1
        pen = QPen(theme.color("rule" if strong else "hairline"), self._weight)
        painter.setPen(pen)
        box = QRectF(self.rect()).adjusted(
            self._weight / 2, self._weight / 2, -self._weight / 2, -self._weight / 2
        )
        edges = {
            "top": (box.topLeft(), box.topRight()), "bottom": (box.bottomLeft(), box.bottomRight()),
            "left": (box.topLeft(), box.bottomLeft()), "right": (box.topRight(), box.bottomRight()),
        }  # fmt: skip
        for name in self._rules.split():
            painter.drawLine(*edges[name])
