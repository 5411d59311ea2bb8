"""What the bundle is made of: the program's own files, what is asked for late, and what is left out."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

PACKAGES: Final = ("app", "ctcore", "resources", "samples")

# Asked for by name at run time, where nothing that reads the sources can see it.
HIDDEN: Final = (
    "psycopg",
    "psycopg_binary",
    "alembic.ddl.sqlite",
    "alembic.ddl.postgresql",
    "sqlalchemy.dialects.sqlite",
    "sqlalchemy.dialects.postgresql.psycopg",
)

# Packages that ask for their own modules by name, taken whole.
WHOLE: Final = ("reportlab.graphics.barcode",)

# The migrations are read as files, one a form, and import these.
_READ_AS_FILES: Final = ("app/jobstore/migrations", "app/jobstore/archive/migrations")
_DATA: Final = (".json", ".csv", ".toml", ".svg", ".ttf", ".txt", ".md", ".png")

# Modules that no part of the program reaches, though a library could.
EXCLUDED: Final = (
    # Under the GPL, and asked for by nobody here.
    "readline",
    "tkinter", "test", "unittest.test", "lib2to3", "pydoc_data", "idlelib", "ensurepip", "turtledemo",
    "setuptools", "pip", "wheel", "pkg_resources", "pytest", "_pytest", "hypothesis", "mypy", "IPython",
    "matplotlib", "pandas", "scipy", "PIL._avif", "PIL.AvifImagePlugin",
    "yaml", "pygments", "rich", "numpy.f2py", "numpy.distutils", "tests",
    "PySide6.QtQml", "PySide6.QtQuick", "PySide6.QtQuickWidgets", "PySide6.QtQuickControls2",
    "PySide6.QtOpenGL", "PySide6.QtOpenGLWidgets", "PySide6.QtSql", "PySide6.QtDesigner", "PySide6.QtHelp",
    "PySide6.QtNetwork", "PySide6.QtTest", "PySide6.QtUiTools", "PySide6.QtXml", "PySide6.QtConcurrent",
    "PySide6.QtSvg", "PySide6.QtSvgWidgets",
    "pyqtgraph.opengl", "pyqtgraph.examples", "pyqtgraph.console", "pyqtgraph.jupyter",
)  # fmt: skip

# Files that the collection brings along and that nothing asks for: the keyboard on the screen (which is not
# under the LGPL), everything of QML, drivers of screens without a desktop, and Qt's own translations.
LEFT_OUT: Final = re.compile(
    r"virtualkeyboard|libQt6(Qml|Quick|VirtualKeyboard|Network|Pdf|Designer|Help|Test|Sql|WaylandCompositor)"
    r"|PySide6/(qml|Qt/qml|Qt/translations|translations|doc|include)/"
    r"|plugins/(qmltooling|sqldrivers|designer|egldeviceintegrations|generic|networkinformation|tls)/"
    r"|platforms/lib(qvnc|qlinuxfb|qeglfs|qminimalegl|qvkkhrdisplay)"
    r"|libQt6Egl|libavif|imageformats/libq(tga|wbmp|icns|tiff|webp|pdf)"
    r"|\.pyi$|platformthemes/libqgtk3|^lib(gtk|gdk|pango|cairo|atk)[-_0-9a-z]*[-.]"
    # What only those asked for.
    r"|^lib(Xau|Xdmcp|Xext|Xrender|blkid|bsd|datrie|fribidi|gio|gmodule|gobject|graphite2|harfbuzz|jpeg|md|mount)"
    r"[-.0-9]*\.so|^lib(pixman|selinux|thai)[-.0-9]*\.so",
    re.IGNORECASE,
)


def own_data(root: Path) -> list[tuple[str, str]]:
    """The program's own files as PyInstaller takes them: each with the folder that it goes to."""
    found = []
    for package in PACKAGES:
        for path in sorted((root / package).rglob("*")):
            place = path.relative_to(root)
            as_file = place.as_posix().startswith(_READ_AS_FILES) and path.suffix == ".py"
            if path.is_file() and (path.suffix in _DATA or as_file):
                found.append((str(path), str(place.parent)))
    return [*found, (str(root / "LICENSE"), ".")]


def made_data(made: Path) -> list[tuple[str, str]]:
    """What was made for this one build: its mark, and the licence texts of everything inside."""
    return [
        (str(path), str(path.relative_to(made).parent)) for path in sorted(made.rglob("*")) if path.is_file()
    ]


def is_left_out(name: str) -> bool:
    """Whether a file that was collected stays out of the bundle."""
    return LEFT_OUT.search(name.replace("\\", "/")) is not None
