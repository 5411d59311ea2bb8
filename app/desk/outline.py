"""Verbs on what stands before the readings: job, positions, plates, instruments, people."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from app.desk.core import DeskCore, OpenJob, new_id
from app.desk.view import Change, Refusal
from ctcore.errors import BadInput
from ctcore.job import (
    CT,
    Core,
    Header,
    Instrument,
    Job,
    LimitOverride,
    Person,
    Position,
    References,
    Tap,
)
from ctcore.nameplate import parse_class


class OutlineVerbs(DeskCore):
    """What planner and technician do before and beside the measuring."""

    def new_job(
        self,
        header: Header,
        *,
        frequency_rated_hz: float = 50.0,
        phase_names: Sequence[str] = ("L1", "L2", "L3"),
        references: References | None = None,
    ) -> Change:
        """Start a job; what the header leaves open about the office comes from the preferences."""
        get = self.settings.get
        filled = dataclasses.replace(
            header,
            organisation_text=header.organisation_text or get("organisation_text"),
            organisation_address_text=header.organisation_address_text or get("organisation_address_text"),
            organisation_mark_text=header.organisation_mark_text or get("organisation_mark_text"),
            paper="Letter" if get("paper") == "Letter" else "A4",
            sheet_language=get("sheet_language"),  # type: ignore[arg-type]
            sheet_decimal_mark="comma" if self.settings.decimal_comma() else "point",
            training=self.settings.training,
        )
        if references is None:
            references = References(
                decision_rule=get("decision_rule"),  # type: ignore[arg-type]
                insulation_limit_set=get("insulation_limit_set"),
            )
        job = Job(
            job_id=new_id(),
            header=filled,
            frequency_rated_hz=frequency_rated_hz,
            phase_names=tuple(phase_names),
            references=references,
        )
        _check_outline(job)
        job, _ = self._me_as_part(job)
        self.store.create(job, self._act("job", job, {"job_id": job.job_id}, None, job.header.number_text))
        self._open[job.job_id] = self._load(job.job_id)
        return self._changed(self._of(job.job_id), frozenset(), outline_changed=True)

    def set_header(
        self,
        job_id: str,
        header: Header,
        *,
        frequency_rated_hz: float | None = None,
        phase_names: Sequence[str] | None = None,
    ) -> Change:
        """Change the title block, the rated frequency or the names of the phases."""
        job = self._of(job_id).job
        new = dataclasses.replace(
            job,
            header=header,
            frequency_rated_hz=job.frequency_rated_hz if frequency_rated_hz is None else frequency_rated_hz,
            phase_names=job.phase_names if phase_names is None else tuple(phase_names),
        )
        if phase_names is not None:
            new = _renamed_phases(new, job.phase_names)
        return self._outline(job_id, new, "header", {"job_id": job_id}, "title block")

    def set_references(self, job_id: str, references: References) -> Change:
        """Change what the job is judged by: decision rule, limit sets, limits replaced by the office."""
        job = self._of(job_id).job
        new = dataclasses.replace(job, references=references)
        replaced = references.limit_overrides != job.references.limit_overrides
        return self._outline(job_id, new, "limit" if replaced else "references", {"job_id": job_id}, "limits")

    def add_position(
        self,
        job_id: str,
        name_text: str,
        *,
        phases: Sequence[str] | None = None,
        core_classes: Sequence[str] = (),
        i_primary_rated_a: float = 600.0,
        i_secondary_rated_a: float = 1.0,
    ) -> Change:
        """Add a set of transformers, one per phase, with a core per class text given."""
        job = self._of(job_id).job
        # Sister phases share the ids of their taps, so that the sheet can set them beside each other.
        tap_ids = [new_id() for _ in core_classes]
        cts = tuple(
            CT(
                ct_id=new_id(),
                phase_text=phase,
                cores=tuple(
                    _new_core(
                        number,
                        class_text,
                        tap_id=tap_id,
                        i_primary_rated_a=i_primary_rated_a,
                        i_secondary_rated_a=i_secondary_rated_a,
                    )
                    for number, (class_text, tap_id) in enumerate(
                        zip(core_classes, tap_ids, strict=True), start=1
                    )
                ),
            )
            for phase in (job.phase_names if phases is None else phases)
        )
        position = Position(position_id=new_id(), name_text=name_text.strip(), cts=cts)
        new = dataclasses.replace(job, positions=(*job.positions, position))
        return self._outline(job_id, new, "position", {"position_id": position.position_id}, "position")

    def set_position(self, job_id: str, position_id: str, *, name_text: str, p1_faces_text: str) -> Change:
        """Rename a position, or say which way P1 faces."""
        job = self._of(job_id).job
        positions = tuple(
            dataclasses.replace(entry, name_text=name_text.strip(), p1_faces_text=p1_faces_text.strip())
            if entry.position_id == position_id
            else entry
            for entry in job.positions
        )
        new = dataclasses.replace(job, positions=positions)
        return self._outline(job_id, new, "position", {"position_id": position_id}, "position")

    def remove_position(self, job_id: str, position_id: str) -> Change:
        """Take a position out of the job; refused once one of its cores has readings."""
        job = self._of(job_id).job
        kept = tuple(entry for entry in job.positions if entry.position_id != position_id)
        new = dataclasses.replace(job, positions=kept)
        return self._outline(job_id, new, "position", {"position_id": position_id}, "position removed")

    def set_ct(self, job_id: str, ct: CT) -> Change:
        """Put a plate in place of the one with the same id; a core with readings cannot go."""
        new = _with_cts(self._of(job_id).job, {ct.ct_id: ct})
        return self._outline(job_id, new, "plate", {"ct_id": ct.ct_id}, f"plate {ct.phase_text}")

    def copy_plate(self, job_id: str, from_ct_id: str, to_ct_ids: Sequence[str]) -> Change:
        """Copy a plate to sister phases: all but serial number and phase; cores keep their ids by number."""
        job = self._of(job_id).job
        known = {ct.ct_id: ct for position in job.positions for ct in position.cts}
        source = known[from_ct_id]
        copies = {ct_id: _copied(source, known[ct_id]) for ct_id in to_ct_ids if ct_id != from_ct_id}
        new = _with_cts(job, copies)
        return self._outline(
            job_id, new, "plate", {"ct_ids": list(copies), "from": from_ct_id}, "plate copied"
        )

    def set_instrument(self, job_id: str, instrument: Instrument) -> Change:
        """Add an instrument to the job or change what is known of it."""
        job = self._of(job_id).job
        others = [entry for entry in job.instruments if entry.instrument_id != instrument.instrument_id]
        place = next(
            (
                index
                for index, entry in enumerate(job.instruments)
                if entry.instrument_id == instrument.instrument_id
            ),
            len(others),
        )
        others.insert(place, instrument)
        new = dataclasses.replace(job, instruments=tuple(others))
        return self._outline(
            job_id, new, "instrument", {"instrument_id": instrument.instrument_id}, "instrument"
        )

    def set_person(self, job_id: str, person: Person) -> Change:
        """Add a person to the job or change what is known of one."""
        job = self._of(job_id).job
        people = [entry for entry in job.people if entry.person_id != person.person_id]
        new = dataclasses.replace(job, people=(*people, person))
        return self._outline(job_id, new, "person", {"person_id": person.person_id}, "person")

    def _outline(self, job_id: str, new: Job, kind: str, where: dict[str, object], text: str) -> Change:
        its = self._of(job_id)
        self._demand_open(its)
        _check_outline(new)
        _check_readings_kept(its, new)
        act = self._act(kind, its.job, where, _outline_words(its.job, kind), _outline_words(new, kind))
        return self._write_outline(job_id, new, act, text)


def _new_core(
    number: int, class_text: str, *, tap_id: str, i_primary_rated_a: float, i_secondary_rated_a: float
) -> Core:
    terminals = f"{number}S1-{number}S2"
    tap = Tap(
        tap_id=tap_id,
        terminals_text=terminals,
        i_primary_rated_a=i_primary_rated_a,
        i_secondary_rated_a=i_secondary_rated_a,
    )
    return Core(core_id=new_id(), number=number, class_text=class_text, taps=(tap,))


def _copied(source: CT, target: CT) -> CT:
    own = {core.number: core for core in target.cores}
    cores = tuple(
        dataclasses.replace(
            core,
            core_id=own[core.number].core_id if core.number in own else new_id(),
            taps=_copied_taps(core, own.get(core.number)),
            service_tap_id=None if core.service_tap_id is None else _tap_of(core, own.get(core.number)),
            remark_text="",
            # A test is left out of the core for which somebody said why, and of no other.
            left_out=own[core.number].left_out if core.number in own else (),
        )
        for core in source.cores
    )
    return dataclasses.replace(
        source,
        ct_id=target.ct_id,
        phase_text=target.phase_text,
        serial_text=target.serial_text,
        plate_confirmed=False,
        cores=cores,
    )


def _copied_taps(core: Core, own: Core | None) -> tuple[Tap, ...]:
    """Taps of the source; a tap with the same terminals keeps the id that its readings name."""
    kept = {tap.terminals_text: tap.tap_id for tap in own.taps} if own else {}
    return tuple(
        dataclasses.replace(tap, tap_id=kept.get(tap.terminals_text, tap.tap_id)) for tap in core.taps
    )


def _tap_of(core: Core, own: Core | None) -> str | None:
    wanted = core.tap(core.service_tap_id or "")
    if wanted is None:
        return None
    return next(
        (tap.tap_id for tap in _copied_taps(core, own) if tap.terminals_text == wanted.terminals_text), None
    )


def _with_cts(job: Job, plates: dict[str, CT]) -> Job:
    return dataclasses.replace(
        job,
        positions=tuple(
            dataclasses.replace(position, cts=tuple(plates.get(ct.ct_id, ct) for ct in position.cts))
            for position in job.positions
        ),
    )


def _renamed_phases(job: Job, old_names: Sequence[str]) -> Job:
    words = dict(zip(old_names, job.phase_names, strict=False))
    cts = {
        ct.ct_id: dataclasses.replace(ct, phase_text=words.get(ct.phase_text, ct.phase_text))
        for position in job.positions
        for ct in position.cts
    }
    return _with_cts(job, cts)


def _check_outline(job: Job) -> None:
    """Refuse what no plate can say; the message names the field."""
    if not job.header.number_text.strip():
        raise BadInput("job number", job.header.number_text, "a job needs a number")
    if not 10.0 <= job.frequency_rated_hz <= 400.0:
        raise BadInput("rated frequency", job.frequency_rated_hz, "between 10 and 400 Hz is wanted")
    for position in job.positions:
        if not position.name_text:
            raise BadInput("position", position.name_text, "a position needs a name")
        for ct in position.cts:
            for core in ct.cores:
                _check_core(core)


def _check_core(core: Core) -> None:
    if core.class_text.strip():
        parse_class(core.class_text)
    if not core.taps:
        raise BadInput("taps", None, f"core {core.number} needs at least one pair of terminals")
    terminals = [tap.terminals_text for tap in core.taps]
    if len(set(terminals)) != len(terminals):
        raise BadInput("taps", ", ".join(terminals), "the same pair of terminals stands twice")
    for tap in core.taps:
        for name, value in (
            ("rated primary current", tap.i_primary_rated_a),
            ("rated secondary current", tap.i_secondary_rated_a),
            ("secondary turns", tap.turns_secondary_count),
            ("primary turns", tap.turns_primary_count),
        ):
            if value is not None and not value > 0.0:
                raise BadInput(name, value, "above zero is wanted")


def _check_readings_kept(its: OpenJob, new: Job) -> None:
    cores = {core.core_id: core for position in new.positions for ct in position.cts for core in ct.cores}
    for entry in its.job.readings:
        core = cores.get(entry.core_id)
        if core is None:
            raise Refusal("A core with readings cannot be taken out. Nothing was changed.")
        if (
            entry.procedure_id in ("resistance", "ratio")
            and entry.row != "method"
            and core.tap(entry.row) is None
        ):
            raise Refusal("A tap with readings cannot be taken out. Nothing was changed.")


def _limit_words(entry: LimitOverride) -> list[str]:
    low, high = ("open" if limit is None else f"{limit:g}" for limit in (entry.limit_low, entry.limit_high))
    held = [entry.class_text] if entry.class_text else []
    return [entry.rule, entry.core_id, *held, f"{low} to {high}", entry.reason_text, entry.person_text]


def _outline_words(job: Job, kind: str) -> object:
    """What the trail says a part was, or became; the parts themselves stand in the store."""
    if kind == "header":
        return [job.header.number_text, job.header.title_text, job.header.site_text]
    if kind == "references":
        return [job.references.decision_rule, job.references.insulation_limit_set]
    if kind == "limit":
        return [_limit_words(entry) for entry in job.references.limit_overrides]
    if kind == "plate":
        return [
            [ct.phase_text, ct.serial_text, [core.class_text for core in ct.cores]]
            for position in job.positions
            for ct in position.cts
        ]
    if kind == "position":
        return [position.name_text for position in job.positions]
    return None
