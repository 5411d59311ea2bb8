"""The tables of a page on paper: what stands in them, asked where to, written as PDF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QListView, QWidget

from app.report.plain_tables import PlainTable
from app.ui.dialogs.path import PathDialog
from app.ui.shell.verbs import VERBS
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Desk
    from app.ui.window import MainWindow


def print_page(window: MainWindow) -> None:
    """Write the tables of the page in hand; a page may name others for paper, and say what they are of."""
    page = window.front
    tables = page.printed() if hasattr(page, "printed") else tables_of(page)
    if not any(table.rows for table in tables):
        window.bar.note(text("print_list.nothing"))
        return
    said = page.printed_said() if hasattr(page, "printed_said") else ""
    print_tables(window, tables, title=title_of(page), said_text=said)


def print_tables(
    window: MainWindow,
    tables: Sequence[PlainTable],
    *,
    title: str,
    said_text: str = "",
    parent: QWidget | None = None,
) -> None:
    """Ask where to and write tables as PDF; the paper says who wrote them, and when."""
    dialog = PathDialog(
        text("print_list.heading"),
        text("print_list.intro"),
        main=text("print_list.main"),
        saving=True,
        start=window.settings.folder / "sheets" / f"{_file_name(title)}.pdf",
        kind="*.pdf",
        parent=parent or window,
    )

    def write(path: Path) -> None:
        def ask(desk: Desk) -> None:
            path.parent.mkdir(parents=True, exist_ok=True)
            by = text("print_list.said", day=desk.today().isoformat(), who=window.settings.me()[1])
            said = ". ".join(part.rstrip(".") for part in (said_text, by) if part)
            desk.write_tables(path, tables, title=title, said_text=f"{said}.")

        def done(_found: object) -> None:
            dialog.accept()
            window.bar.note(text("print_list.done", name=path.name))

        window.session.fetch(ask, done=done, refused=dialog.refuse)

    dialog.path_chosen.connect(write)
    dialog.open()


def tables_of(page: QWidget) -> list[PlainTable]:
    """The tables and lists that are shown on a page, as they stand, in the order of reading.

    A column that a narrow screen leaves out stands on the paper all the same.
    """
    found = (one for one in page.findChildren(QAbstractItemView) if one.isVisibleTo(page))
    views = [one for one in found if not isinstance(one, QHeaderView)]
    views.sort(key=lambda one: _place(one, page))
    return [table_of(view) for view in views if view.model() is not None and view.model().rowCount()]


def title_of(page: QWidget) -> str:
    """What the paper is called: the page's own heading, else what the menu calls the page."""
    heading = getattr(getattr(page, "heading", None), "text", "")
    page_id = str(getattr(page, "page_id", ""))
    known = page_id in {verb.verb_id for verb in VERBS}
    return text(f"verb.{page_id}") if known and not heading else str(heading or text("app.name"))


def _place(view: QWidget, page: QWidget) -> tuple[int, int]:
    at = view.mapTo(page, QPoint(0, 0))
    return at.y(), at.x()


def table_of(view: QAbstractItemView) -> PlainTable:
    """A table or list as it stands, with every column."""
    model, across = view.model(), Qt.Orientation.Horizontal
    # Qt: the model of a list keeps it to itself that it has one column (6.11).
    columns = range(1 if isinstance(view, QListView) else model.columnCount())
    # Qt: a model without heads numbers its columns (6.11).
    named = [model.headerData(column, across) for column in columns]
    told = tuple(head if isinstance(head, str) else "" for head in named)
    heads = told if any(told) else ()
    # A list without heads may draw its lines itself; then a screen reader is told what stands in them.
    role = Qt.ItemDataRole.DisplayRole if heads else Qt.ItemDataRole.AccessibleTextRole
    rows = tuple(
        tuple(str(model.index(row, column).data(role) or "") for column in columns)
        for row in range(model.rowCount())
    )
    return PlainTable(heading=view.accessibleName(), heads=heads, rows=rows)


def _file_name(title: str) -> str:
    """A title as the name of a file, without what a file system does not take.

    >>> _file_name("TX-401/A: over the years")
    'tx-401-a-over-the-years'
    """
    kept = "".join(sign if sign.isalnum() else " " for sign in title.casefold())
    return "-".join(kept.split())[:60] or "tables"
