"""Photographs and certificates as files under their digest, in a folder beside the store."""

from __future__ import annotations

from pathlib import Path

from app.jobstore.answers import StoreProblem
from app.record.canonical import digest
from app.record.files import make_folder, write_whole


def folder_of(store: Path) -> Path:
    """The folder that belongs to a store."""
    return store.with_name(store.name + ".attachments")


def path_of(store: Path, digest_hex: str) -> Path:
    """Where a file with that digest lies."""
    return folder_of(store) / digest_hex[:2] / digest_hex


def put(store: Path, data: bytes) -> str:
    """Keep the bytes whole and synced; the digest is returned. The same bytes are kept once."""
    digest_hex = digest(data)
    path = path_of(store, digest_hex)
    if path.exists() and digest(path.read_bytes()) == digest_hex:
        return digest_hex
    make_folder(path.parent)
    write_whole(path, data)
    return digest_hex


def get(store: Path, digest_hex: str, *, name_text: str) -> bytes:
    """The bytes under a digest; raises StoreProblem where they are gone or are no longer the same."""
    try:
        data = path_of(store, digest_hex).read_bytes()
    except FileNotFoundError as problem:
        raise StoreProblem(
            f"Your readings are saved. The attached file {name_text} is missing from the folder "
            f"{folder_of(store).name}: put it back from a copy."
        ) from problem
    if digest(data) != digest_hex:
        raise StoreProblem(
            f"Your readings are saved. The attached file {name_text} is no longer what was attached: "
            "put it back from a copy."
        )
    return data
