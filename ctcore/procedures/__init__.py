"""The test types, one file each, listed once in the order of the worksheet."""

from __future__ import annotations

from typing import Final

from ctcore.job import Core
from ctcore.procedure import Procedure
from ctcore.procedures.excitation import EXCITATION
from ctcore.procedures.insulation import INSULATION
from ctcore.procedures.ratio import RATIO
from ctcore.procedures.resistance import RESISTANCE

PROCEDURES: Final[tuple[Procedure, ...]] = (INSULATION, RESISTANCE, RATIO, EXCITATION)

_BY_ID: Final = {procedure.procedure_id: procedure for procedure in PROCEDURES}


def procedure(procedure_id: str) -> Procedure:
    """The test type of that id.

    >>> procedure("resistance").name
    'Winding resistance'
    """
    return _BY_ID[procedure_id]


def planned(core: Core) -> tuple[Procedure, ...]:
    """The tests planned for a core in the order of the worksheet; all of them where the core names none."""
    if not core.procedures:
        return PROCEDURES
    return tuple(entry for entry in PROCEDURES if entry.procedure_id in core.procedures)
