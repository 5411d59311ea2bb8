"""The hook-up of the test on the page, with who ticked which lead."""

from __future__ import annotations

from app.desk.landing import hookup_of
from app.ui.hookup.panel import HookupContent
from app.ui.worksheet.cautions import who_and_when
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.sheet import Sheet


def has_hookup(sheet: Sheet) -> bool:
    """Whether the test wants a lead at all; what is only worked out wants none."""
    return sheet.procedure.procedure_id != "duty"


def hookup_content(sheet: Sheet, _curves: CurveStore) -> HookupContent:
    """Drawing and landing list of the test on the page."""
    job = sheet.view.job
    found = hookup_of(job, sheet.core.core_id, sheet.procedure.procedure_id, sheet.take)
    ticked = tuple("" if line.landing is None else who_and_when(job, line.landing) for line in found.leads)
    return HookupContent(found, ticked, is_locked=sheet.view.read_only_reason is not None)
