"""Findings of the step, worst first: mark and word, what and how much, and what the limit rests on."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QPointF, QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.ui import marks, theme
from app.ui.plots import pins
from app.ui.texts import text
from app.ui.worksheet.pinned import PinnedComment
from app.words import quantity, retold, verdict_word
from ctcore.findings import Finding, Verdict, conformance_text, worst_first
from ctcore.notices import Notice, Offer

_WORD_WIDTH = 142
# Where the word of a verdict and the words beside it begin, from the edge of the list.
WORD_LEFT = 40
WORDS_LEFT = _WORD_WIDTH + 16
_WRAP = Qt.TextFlag.TextWordWrap
LineRole = Qt.ItemDataRole.UserRole + 1
Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One finding in words, or one thing noticed or asked, which is no verdict; at most an offer with it."""

    verdict: Verdict | None
    words: str
    standing: str
    row: str
    offer: Offer | None = None
    finding: Finding | None = None
    comment: PinnedComment | None = None

    @property
    def word(self) -> str:
        """The verdict, or that something was asked or noticed."""
        if self.comment is not None:
            return text("findings.comment")
        return verdict_word(self.verdict) if self.verdict else text("findings.noticed")


def lines_of(
    findings: tuple[Finding, ...],
    notices: tuple[Notice, ...] = (),
    comments: tuple[PinnedComment, ...] = (),
) -> list[FindingLine]:
    """The findings in words, worst first; comments and what was noticed stand after what is outside."""
    lines = [_line(finding) for finding in worst_first(findings)]
    first = next((i for i, line in enumerate(lines) if line.verdict != "outside"), len(lines))
    between = [*map(_comment_line, comments), *map(_notice_line, notices)]
    return [*lines[:first], *between, *lines[first:]]


def _comment_line(comment: PinnedComment) -> FindingLine:
    on = text("findings.comment_on", row=comment.row_words) if comment.row_words else ""
    state = text(f"review.asked.{comment.state}") if comment.state else ""
    beneath = ", ".join(part for part in (on, state) if part)
    return FindingLine(None, comment.words, beneath, comment.row, comment=comment)


def _notice_line(notice: Notice) -> FindingLine:
    offer = notice.offer
    beneath = text("findings.offer", offer=retold(offer.words)) if offer else text("findings.no_offer")
    return FindingLine(None, retold(notice.sentence), beneath, notice.row, offer)


def _line(finding: Finding) -> FindingLine:
    words = retold(finding.text) or quantity(finding.quantity).name
    source = "" if finding.source.casefold() in finding.text.casefold() else retold(finding.source)
    founded = finding.limit_standing
    if finding.source and founded == "from memory":
        if (check := text("findings.from_memory")).partition(": ")[2] not in words:
            source = f"{source} ({check})" if source else check
    elif source and not any(founded in said for said in ("plate", "office", finding.text, finding.source)):
        source = f"{source} ({retold(founded)})"
    standing = "; ".join(part for part in (source, retold(conformance_text(finding))) if part)
    return FindingLine(finding.verdict, words, standing, finding.row, finding=finding)


class FindingsModel(QAbstractListModel):
    """Findings as a list model."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[FindingLine] = []

    def show_lines(self, new: list[FindingLine]) -> None:
        """Show other findings; rows are added and removed at the end, the rest is told as changed."""
        common = min(len(new), len(self.lines))
        changed = [index for index in range(common) if new[index] != self.lines[index]]
        if len(new) < len(self.lines):
            self.beginRemoveRows(QModelIndex(), len(new), len(self.lines) - 1)
            del self.lines[len(new) :]
            self.endRemoveRows()
        self.lines[:common] = new[:common]
        if len(new) > common:
            self.beginInsertRows(QModelIndex(), common, len(new) - 1)
            self.lines.extend(new[common:])
            self.endInsertRows()
        if changed:
            self.dataChanged.emit(self.index(changed[0]), self.index(changed[-1]), [])

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Findings."""
        return 0 if parent.isValid() else len(self.lines)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words, accessible words and the line itself."""
        if not index.isValid() or not 0 <= index.row() < len(self.lines):
            return None
        line = self.lines[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return line.words
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{line.word}: {line.words} {line.standing}".strip()
        if role == LineRole:
            return line
        return None


class FindingsDelegate(QStyledItemDelegate):
    """Draws one finding: the mark with its word to the left, words and standing to the right."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw a finding."""
        line: FindingLine = index.data(LineRole)
        box = option.rect
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(box, theme.color("here_tint"))
            painter.fillRect(QRect(box.left(), box.top(), 8, box.height()), theme.color("here"))
        if index.row():
            painter.setPen(theme.color("hairline"))
            painter.drawLine(box.left() + 8, box.top(), box.right() - 8, box.top())
        place = QRect(box.left() + WORD_LEFT - 30, box.top() + 6, _WORD_WIDTH, 24)
        if line.verdict is None:
            _paint_no_verdict(painter, place, line)
        else:
            _paint_word(painter, place, line.verdict)
        words, standing = _boxes(line, box.width())
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("finding"))
        painter.drawText(words.translated(box.topLeft()), int(_WRAP), line.words)
        painter.setPen(theme.color("ink" if line.offer else "label"))
        painter.setFont(theme.font("label", bold=line.offer is not None))
        painter.drawText(standing.translated(box.topLeft()), int(_WRAP), line.standing)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As tall as its words at the width of the list."""
        view = option.widget
        wide = view.viewport().width() if isinstance(view, QListView) else 400
        words, standing = _boxes(index.data(LineRole), wide)
        return QSize(wide, max(34, (standing if standing.height() else words).bottom() + 7))


@lru_cache(maxsize=512)
def _boxes(line: FindingLine, width: int) -> tuple[QRect, QRect]:
    """Where words and standing lie; kept, since flowing words costs more than drawing them."""
    room = QRect(0, 0, max(width - _WORD_WIDTH - 26, 120), 9999)
    words = QFontMetrics(theme.font("finding")).boundingRect(room, int(_WRAP), line.words)
    box = QRect(WORDS_LEFT, 8, room.width(), words.height())
    if not line.standing:
        return box, QRect(box.left(), box.bottom(), 0, 0)
    font = theme.font("label", bold=line.offer is not None)
    standing = QFontMetrics(font).boundingRect(room, int(_WRAP), line.standing)
    return box, QRect(box.left(), box.bottom() + 3, room.width(), standing.height())


def _paint_no_verdict(painter: QPainter, box: QRect, line: FindingLine) -> None:
    """The balloon of a comment, or a question mark: something to answer, not a judgement."""
    if line.comment is not None:
        pins.paint_small(painter, QPointF(box.left() + 14, box.center().y()), is_open=line.comment.is_open)
    painter.setPen(theme.color("ink"))
    if line.comment is None:
        painter.setFont(theme.font("heading", bold=True))
        painter.drawText(QRect(box.left(), box.top(), 28, box.height()), Qt.AlignmentFlag.AlignCenter, "?")
    painter.setFont(theme.font("value", bold=True))
    painter.drawText(box.adjusted(30, 0, 40, 0), Qt.AlignmentFlag.AlignVCenter, line.word)


def _paint_word(painter: QPainter, box: QRect, verdict: Verdict) -> None:
    tall = 13.0
    bold = marks.is_bold(verdict)
    font = theme.font("value", bold=bold)
    wide = 2.1 * tall + 8 + QFontMetrics(font).horizontalAdvance(verdict_word(verdict))
    ink, center = theme.color("ink"), QPointF(box.left() + 1.05 * tall, box.center().y())
    frame = QRect(box.left() - 1, box.top(), int(wide) + 2, box.height())
    if verdict == "outside":
        painter.fillRect(frame, ink)
        marks.paint_reversed(painter, center, tall)
        painter.setPen(theme.color("sheet"))
    else:
        if verdict == "refer":
            marks.outline(painter, frame.toRectF(), ink)
        marks.paint(painter, verdict, center, tall, framed=False)
        painter.setPen(ink)
    painter.setFont(font)
    painter.drawText(box.adjusted(30, 0, 40, 0), Qt.AlignmentFlag.AlignVCenter, verdict_word(verdict))


class FindingsPanel(QListView):
    """The list of findings; the one chosen has tint and bar."""

    view_name = "findings"

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.findings = FindingsModel()
        self.setModel(self.findings)
        self.setItemDelegate(FindingsDelegate(self))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(text("findings.name"))

    def show_findings(
        self,
        findings: tuple[Finding, ...],
        notices: tuple[Notice, ...] = (),
        comments: tuple[PinnedComment, ...] = (),
    ) -> None:
        """Show other findings, and what was noticed and asked beside them."""
        before = list(self.findings.lines)
        self.findings.show_lines(lines_of(findings, notices, comments))
        if before == self.findings.lines:
            return
        # Qt: laid out now, not by a timer later, so that one change is one repaint (6.11).
        self.executeDelayedItemsLayout()
        self.setAccessibleDescription("; ".join(f"{line.word}: {line.words}" for line in self.findings.lines))

    def chosen_offer(self) -> Offer | None:
        """The offer of the line that is chosen, else the first there is."""
        at, lines = self.currentIndex().row(), self.findings.lines
        chosen = lines[at].offer if 0 <= at < len(lines) else None
        return chosen or next((line.offer for line in lines if line.offer), None)

    def finding_in_hand(self, row: str) -> Finding | None:
        """The finding that is chosen; else the worst of the row in hand, else the worst of all."""
        at, lines = self.currentIndex().row(), self.findings.lines
        chosen = lines[at].finding if 0 <= at < len(lines) else None
        found = [line.finding for line in lines if line.finding is not None]
        of_row = (finding for finding in found if finding.row == row)
        return chosen or next(of_row, None) or (found[0] if found else None)

    def choose_next(self) -> FindingLine | None:
        """Choose the next finding, from the worst down and round again."""
        count = self.findings.rowCount()
        if not count:
            return None
        row = (self.currentIndex().row() + 1) % count
        self.setCurrentIndex(self.findings.index(row))
        return self.findings.lines[row]

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Words flow anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The list, or the words of an empty one."""
        super().paintEvent(event)
        if not self.findings.rowCount():
            painter = QPainter(self.viewport())
            painter.setPen(theme.color("ink"))
            painter.setFont(theme.font("finding"))
            box = self.viewport().rect().adjusted(12, 8, -8, -8)
            painter.drawText(box, int(_WRAP), text("findings.empty"))
