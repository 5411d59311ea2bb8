"""Photographs and certificates that travel with a job: named by their SHA-256, held against the record.

Format: a signed job and a pack hold each of them as "attached/<SHA-256>.<ending>", whatever it was called
before; its name and place stand in the record.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from app.record.canonical import digest
from app.record.revision import Record
from app.record.verdict import Inquiry
from ctcore.evidence import Attached

LARGEST_TOGETHER: Final = 64_000_000
_ENDINGS: Final = {"image/png": "png", "image/jpeg": "jpg", "application/pdf": "pdf"}
_NAME: Final = re.compile(r"attached/([0-9a-f]{64})\.(?:png|jpg|pdf|bin)")


def name_of(attached: Attached) -> str:
    """The name under which an attached file travels."""
    return f"attached/{attached.digest_hex}.{_ENDINGS.get(attached.media_type, 'bin')}"


def is_name(name: str) -> bool:
    """Whether a file of that name is an attached one.

    >>> is_name("attached/" + 64 * "0" + ".jpg"), is_name("attached/../x")
    (True, False)
    """
    return _NAME.fullmatch(name) is not None


def inspect(record: Record, files: Mapping[str, bytes], inquiry: Inquiry) -> None:
    """Every file that came along is one that the record names, unaltered; those that did not are named."""
    named = {name_of(one): one for one in record.job.attached}
    for name, data in files.items():
        one = named.get(name)
        if one is None:
            inquiry.is_altered(f"{name} is not named in the record: it was put in afterwards.")
        elif digest(data) != one.digest_hex:
            inquiry.is_altered(f"The attached file {one.name_text} is not the one that was signed.")
    missing = sorted({one.name_text for name, one in named.items() if name not in files})
    if missing:
        inquiry.note(f"Attached files that did not come along: {', '.join(missing)}.")
