"""What bears out the readings of a job: files attached to it, and what its witnesses watched."""

from __future__ import annotations

from dataclasses import dataclass, field

from ctcore.plain import LATER


@dataclass(frozen=True, slots=True, kw_only=True)
class Attached:
    """A photograph or certificate kept beside the job, pinned to a core or a step, known by its SHA-256.

    `struck_text` is why it was struck; a file that was struck stays with the job.
    """

    name_text: str
    media_type: str
    digest_hex: str
    core_id: str = ""
    procedure_id: str = ""
    struck_text: str = field(default="", metadata=LATER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """What a witness watched on one core: its tests by their ids."""

    core_id: str
    procedures: tuple[str, ...]
