"""The test types, one file each, listed once in the order of the day."""

from __future__ import annotations

from typing import Final

from ctcore.job import Core
from ctcore.procedure import Procedure
from ctcore.procedures.burden import BURDEN
from ctcore.procedures.demagnetising import DEMAGNETISING
from ctcore.procedures.duty import DUTY
from ctcore.procedures.excitation import EXCITATION
from ctcore.procedures.injection import INJECTION
from ctcore.procedures.insulation import INSULATION
from ctcore.procedures.insulation_time import INSULATION_TIME
from ctcore.procedures.kick import KICK
from ctcore.procedures.links import LINKS
from ctcore.procedures.links_back import LINKS_BACK
from ctcore.procedures.load import LOAD
from ctcore.procedures.ratio import RATIO
from ctcore.procedures.resistance import RESISTANCE
from ctcore.procedures.visual import VISUAL

PROCEDURES: Final[tuple[Procedure, ...]] = (
    VISUAL,
    LINKS,
    INSULATION,
    INSULATION_TIME,
    RESISTANCE,
    KICK,
    DEMAGNETISING,
    RATIO,
    EXCITATION,
    BURDEN,
    DUTY,
    LINKS_BACK,
    INJECTION,
    LOAD,
)
# What every core is measured for where its plan names nothing.
MEASURED: Final[tuple[Procedure, ...]] = (INSULATION, RESISTANCE, RATIO, EXCITATION)

_BY_ID: Final = {procedure.procedure_id: procedure for procedure in PROCEDURES}


def procedure(procedure_id: str) -> Procedure:
    """The test type of that id.

    >>> procedure("resistance").name
    'Winding resistance'
    """
    return _BY_ID[procedure_id]


def planned(core: Core) -> tuple[Procedure, ...]:
    """The tests planned for a core in the order of its plan; the measured ones where it names none.

    `ctcore.plan` offers a plan by class and duty; what is chosen is kept in `Core.procedures`.
    """
    if not core.procedures:
        return MEASURED
    return tuple(_BY_ID[name] for name in dict.fromkeys(core.procedures) if name in _BY_ID)
