"""What columns were taken for is remembered by their headings."""

from __future__ import annotations

from pathlib import Path

from app.exchange import mappings


def test_the_same_headings_find_what_was_chosen(tmp_path: Path) -> None:
    mappings.remember(tmp_path, "plates", ["Ort", "Wert"], ["position", "ratio"])
    assert mappings.remembered(tmp_path, "plates", ["ort", " WERT"]) == ["position", "ratio"]


def test_other_headings_and_other_kinds_find_nothing(tmp_path: Path) -> None:
    mappings.remember(tmp_path, "plates", ["Ort"], ["position"])
    assert mappings.remembered(tmp_path, "plates", ["Ort", "Wert"]) is None
    assert mappings.remembered(tmp_path, "excitation", ["Ort"]) is None


def test_a_damaged_file_remembers_nothing_and_can_be_written_again(tmp_path: Path) -> None:
    (tmp_path / mappings.FILE_NAME).write_text("[half", encoding="utf-8")
    assert mappings.remembered(tmp_path, "plates", ["Ort"]) is None
    mappings.remember(tmp_path, "plates", ["Ort"], ["position"])
    assert mappings.remembered(tmp_path, "plates", ["Ort"]) == ["position"]


def test_the_oldest_of_many_is_forgotten(tmp_path: Path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setattr(mappings, "MOST_REMEMBERED", 2)
    for name in ("a", "b", "c"):
        mappings.remember(tmp_path, "plates", [name], ["position"])
    assert mappings.remembered(tmp_path, "plates", ["a"]) is None
    assert mappings.remembered(tmp_path, "plates", ["c"]) == ["position"]
