"""Plates of many transformers in one act, as a list of a whole board gives them."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from app import progress
from app.desk.outline import OutlineVerbs
from app.desk.view import Change
from ctcore.job import CT, Core, Position, Tap


class PlateVerbs(OutlineVerbs):
    """Put the plates of a list into the job."""

    def add_plates(self, job_id: str, positions: Sequence[Position]) -> Change:
        """Add positions; one whose name is in the job already gets the plates of the list.

        A transformer is known by its phase, a core by its number, a tap by its terminals: what is known keeps
        its readings. What the list does not state stays as it was. One act, one undo.
        """
        job = self._of(job_id).job
        given = {_plain(position.name_text): position for position in positions}
        kept = tuple(
            _merged(position, given.pop(_plain(position.name_text)))
            if _plain(position.name_text) in given
            else position
            for position in progress.each(job.positions, "position")
        )
        new = dataclasses.replace(job, positions=(*kept, *given.values()))
        names = [position.name_text for position in positions]
        progress.write_whole()
        return self._outline(
            job_id, new, "position", {"positions": names}, f"plates of {len(names)} positions"
        )


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def _merged(old: Position, new: Position) -> Position:
    given = {ct.phase_text: ct for ct in new.cts}
    cts = [_merged_ct(ct, given.pop(ct.phase_text)) if ct.phase_text in given else ct for ct in old.cts]
    return dataclasses.replace(old, cts=(*cts, *given.values()))


def _merged_ct(old: CT, new: CT) -> CT:
    given = {core.number: core for core in new.cores}
    cores = [
        _merged_core(core, given.pop(core.number)) if core.number in given else core for core in old.cores
    ]
    stated = {
        name: getattr(new, name)
        for name in ("serial_text", "maker_text", "type_text", "year_text", "um_kv")
        if getattr(new, name)
    }
    # A plate that was compared once is another one now.
    return dataclasses.replace(
        old,
        **stated,
        plate_confirmed=False,
        cores=tuple(sorted((*cores, *given.values()), key=lambda core: core.number)),
    )


def _merged_core(old: Core, new: Core) -> Core:
    ids = {tap.terminals_text: tap.tap_id for tap in old.taps}
    taps = tuple(_known(tap, ids) for tap in new.taps)
    service = old.service_tap_id if old.service_tap_id in {tap.tap_id for tap in taps} else None
    return dataclasses.replace(
        old,
        class_text=new.class_text or old.class_text,
        taps=taps,
        service_tap_id=service,
        r_winding_75degc_plate_ohm=new.r_winding_75degc_plate_ohm or old.r_winding_75degc_plate_ohm,
    )


def _known(tap: Tap, ids: dict[str, str]) -> Tap:
    return dataclasses.replace(tap, tap_id=ids.get(tap.terminals_text, tap.tap_id))
