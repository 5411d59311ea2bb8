"""The list of licences says what the installed packages state about themselves, and leaves none out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from app.about import libraries
from tests.bundle.licences import Packaged, packages, plain_name, write_metadata, write_texts

# The names that older packages give to the licences that the list names by their short ones.
SHORT = {
    "MIT License": "MIT",
    "BSD License": "BSD-3-Clause",
    "Apache Software License": "Apache-2.0",
    "Python Software Foundation License": "PSF-2.0",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "BSD-3-Clause, Apache-2.0, dependency licenses": "Apache-2.0 OR BSD-3-Clause",
}
LISTED = {plain_name(name.replace(" ", "-")): row.licence_text for row in libraries() for name in row.names}


@pytest.mark.parametrize("package", packages(), ids=lambda one: one.name)
def test_the_list_names_each_package_with_the_licence_that_it_states(package: Packaged) -> None:
    stated = SHORT.get(package.licence_text, package.licence_text)
    named = set(re.findall(r"[\w.-]+\d?", LISTED[plain_name(package.name)]))
    unnamed = [part for part in stated.split(" AND ") if not named & set(part.split(" OR "))]

    assert unnamed == []


def test_the_list_names_nothing_twice() -> None:
    names = [name for row in libraries() for name in row.names]

    assert sorted(set(names)) == sorted(names)


def test_every_package_brings_its_licence_text_or_the_notices_hold_it(tmp_path: Path) -> None:
    silent = {plain_name(one.name) for one in write_texts(tmp_path) if not one.texts}

    # Qt's wheels come without a text; the LGPL and the GPL stand in the notices.
    assert silent == {"pyside6-essentials", "shiboken6"}
    assert {"LIST.txt", "python"} <= {path.name for path in tmp_path.iterdir()}
    assert all("LGPL-3.0-only" in one.licence_text for one in packages() if plain_name(one.name) in silent)


def test_what_the_bundle_looks_up_is_the_version_that_is_installed(tmp_path: Path) -> None:
    write_metadata(tmp_path)
    texts = [path.read_text(encoding="utf-8") for path in tmp_path.glob("*.dist-info/METADATA")]

    assert len(texts) == len(packages())
    assert [
        one.name for one in packages() if not any(f"\nVersion: {one.version}\n" in text for text in texts)
    ] == []
