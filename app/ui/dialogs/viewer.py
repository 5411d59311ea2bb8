"""One attached file as large as the window: a photograph, or the pages of a document one by one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QBuffer, QByteArray, QRect, QSize, Qt
from PySide6.QtGui import (
    QImage,
    QImageReader,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPixmap,
    QShowEvent,
)
from PySide6.QtWidgets import QDialog

from app.ui import theme
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.ui.models.attached import AttachedModel
    from app.ui.window import MainWindow

_HEAD: Final = 52
_FOOT: Final = 30
_MARGIN: Final = 8


@dataclass(frozen=True, slots=True)
class Seen:
    """What can be drawn of a file: one page of it, and how many there are."""

    image: QImage
    page_count: int


class NotShown(Exception):
    """A file that cannot be drawn; the sentence says why."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class ViewerDialog(QDialog):
    """Left and right go from file to file, Page Up and Down from page to page, Escape goes back."""

    def __init__(self, window: MainWindow, model: AttachedModel, row: int) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setModal(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._window, self._model = window, model
        self.row, self.page = row, 0
        self.page_count = 1
        self.sentence = ""
        self._asked = 0
        self._picture = QPixmap()
        self.resize(window.size() - QSize(24, 16))
        self._ask()

    @property
    def shown(self) -> bool:
        """Whether the file itself stands on the screen."""
        return not self._picture.isNull()

    def _ask(self) -> None:
        """Fetch the page in hand; what was asked for before and comes late is left aside."""
        one = self._model.line(self.row)
        job_id = self._window.session.job_id
        if one is None or job_id is None:
            return
        self._asked += 1
        asked, page = self._asked, self.page
        self._picture, self.sentence = QPixmap(), text("viewer.reading")
        self._tell()
        room = (self.size() - QSize(2 * _MARGIN, _HEAD + _FOOT)) * self.devicePixelRatioF()

        def done(seen: Seen) -> None:
            if asked == self._asked:
                self._show(seen)

        def refused(sentence: str) -> None:
            if asked == self._asked:
                self.sentence = sentence
                self._tell()

        self._window.session.fetch(
            lambda desk: drawn(desk.attached_bytes(job_id, one), one.media_type, page, room),
            done=done,
            refused=refused,
        )

    def _show(self, seen: Seen) -> None:
        self.page_count, self.sentence = seen.page_count, ""
        self._picture = QPixmap.fromImage(seen.image)
        self._picture.setDevicePixelRatio(self.devicePixelRatioF())
        self._tell()

    def _tell(self) -> None:
        self.setWindowTitle(self.head_words())
        self.setAccessibleName(self.head_words())
        self.setAccessibleDescription(self.sentence or self.foot_words())
        self.update()

    def head_words(self) -> str:
        """Name, place and page."""
        one = self._model.line(self.row)
        if one is None:
            return ""
        parts = [one.name_text, self._model.where(one)]
        if self.page_count > 1:
            parts.append(text("viewer.page", page=self.page + 1, count=self.page_count))
        return " · ".join(parts)

    def foot_words(self) -> str:
        """Which keys do what here, and that a file was struck."""
        one = self._model.line(self.row)
        struck = text("attached.struck", reason=one.struck_text) if one and one.struck_text else ""
        pages = text("viewer.pages") if self.page_count > 1 else ""
        files = text("viewer.files") if self._model.rowCount() > 1 else ""
        return " · ".join(filter(None, (struck, files, pages, text("viewer.back"))))

    def showEvent(self, event: QShowEvent) -> None:
        """Keys come here."""
        super().showEvent(event)
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """From file to file, from page to page."""
        steps = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}
        pages = {
            Qt.Key.Key_PageDown: 1, Qt.Key.Key_Down: 1, Qt.Key.Key_Space: 1, Qt.Key.Key_PageUp: -1,
            Qt.Key.Key_Up: -1,
        }  # fmt: skip
        key = Qt.Key(event.key())
        if key in steps:
            self._go(row=self.row + steps[key], page=0)
        elif key in pages:
            self._go(row=self.row, page=self.page + pages[key])
        else:
            super().keyPressEvent(event)

    def _go(self, *, row: int, page: int) -> None:
        if not 0 <= row < self._model.rowCount() or (row == self.row and not 0 <= page < self.page_count):
            return
        if row != self.row:
            self.page_count = 1
        self.row, self.page = row, page
        self._ask()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch on the right half goes on, through the pages and then the files; on the left half back."""
        way = 1 if event.position().x() > self.width() / 2 else -1
        if 0 <= self.page + way < self.page_count:
            self._go(row=self.row, page=self.page + way)
        else:
            self._go(row=self.row + way, page=0)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Name above, keys below, the picture in the middle; a sentence where there is none."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("sheet"))
        painter.setPen(theme.color("ink"))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        head = QRect(16, 0, self.width() - 32, _HEAD)
        painter.setFont(theme.font("heading", bold=True))
        words = painter.fontMetrics().elidedText(
            self.head_words(), Qt.TextElideMode.ElideMiddle, head.width()
        )
        painter.drawText(head, Qt.AlignmentFlag.AlignVCenter, words)
        painter.setFont(theme.font("second"))
        foot = QRect(16, self.height() - _FOOT, self.width() - 32, _FOOT)
        painter.drawText(foot, Qt.AlignmentFlag.AlignVCenter, self.foot_words())
        room = self.rect().adjusted(_MARGIN, _HEAD, -_MARGIN, -_FOOT)
        if self._picture.isNull():
            painter.setFont(theme.font("value", bold=True))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(room.adjusted(40, 0, -40, 0), flags, self.sentence)
            return
        size = self._picture.deviceIndependentSize().toSize()
        place = QRect(room.topLeft(), size)
        place.moveCenter(room.center())
        painter.drawPixmap(place.topLeft(), self._picture)


def drawn(data: bytes, media_type: str, page: int, room: QSize) -> Seen:
    """A file within so many pixels; NotShown, or what the reader of PDF says, where it cannot be drawn."""
    if media_type == "application/pdf":
        return _page(data, page, room)
    buffer = QBuffer()
    buffer.setData(QByteArray(data))
    buffer.open(QBuffer.OpenModeFlag.ReadOnly)
    reader = QImageReader(buffer)
    reader.setAutoTransform(True)
    size = reader.size()
    if size.isValid():
        # A photograph of 40 megapixels is decoded at the size that it is shown in.
        side = min(1.0, max(room.width(), room.height()) / max(size.width(), size.height(), 1))
        reader.setScaledSize(size * side)
    image = reader.read()
    if image.isNull():
        raise NotShown(text("viewer.damaged", reason=f"{reader.errorString()}."))
    smooth = Qt.TransformationMode.SmoothTransformation
    fitting = image.size().scaled(room, Qt.AspectRatioMode.KeepAspectRatio)
    if fitting.width() < image.width():
        image = image.scaled(fitting, Qt.AspectRatioMode.IgnoreAspectRatio, smooth)
    return Seen(image, 1)


def _page(data: bytes, page: int, room: QSize) -> Seen:
    from app.report.page_pictures import POINTS_PER_INCH, NoPages, PagedFile

    try:
        paged = PagedFile(data)
    except NoPages as problem:
        raise NotShown(text("viewer.damaged", reason=retold(problem.sentence))) from problem
    with paged as file:
        wide, high = file.size_pt(page)
        scale = min(room.width() / wide, room.height() / high)
        made = file.picture(page, POINTS_PER_INCH * scale)
        image = QImage(made.pixels, made.width, made.height, made.stride, QImage.Format.Format_RGB32)
        return Seen(image.copy(), file.page_count)
