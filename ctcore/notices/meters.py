"""How it was measured: frequency, response of the meters, calibration on the day."""

from __future__ import annotations

from ctcore.job import Instrument, Reading
from ctcore.judgement.cells import Number, number
from ctcore.judgement.excitation_curve import FREQUENCY_ALIKE_REL
from ctcore.judgement.limit import shown
from ctcore.judgement.meter import calibration_doubts, instrument_of
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Sight, listed, phase_words, readings_of
from ctcore.procedures import PROCEDURES
from ctcore.takes import Take

FREQUENCY, UNLIKE, EXPIRED = "other_frequency", "unlike_meters", "calibration_ended"
_RESPONSES = {"mean": "average-sensing", "true_rms": "true r.m.s.", "peak": "peak"}
_METERS = (("v_excitation_v", "voltage_response"), ("i_excitation_a", "current_response"))


def other_frequency(sight: Sight) -> Answer:
    """A curve or a reference curve at another frequency than that of the job: 50 against 60 Hz."""
    rated = sight.job.frequency_rated_hz
    takes = sight.takes_of_record("excitation")
    stated = [
        (take, found.value)
        for take in takes
        if isinstance(found := number(take.method, "frequency_hz"), Number)
    ]
    core_id = sight.core.core_id
    references = [entry for entry in sight.job.references.curves if entry.core_id == core_id]
    if not stated and not references:
        return sight.not_judged(FREQUENCY, "No curve states its frequency.")
    found_ones = []
    for take, hertz in stated:
        if hertz > 0.0 and abs(hertz - rated) > FREQUENCY_ALIKE_REL * rated:
            found_ones.append((take.take, hertz, "the curve was taken"))
    for entry in references:
        if abs(entry.frequency_hz - rated) > FREQUENCY_ALIKE_REL * rated:
            found_ones.append((0, entry.frequency_hz, f"{entry.source_text} was taken"))
    return tuple(
        Notice(
            FREQUENCY, (core_id,), "excitation", "method",
            f"{phase_words(sight)}: {what} at {shown('frequency_hz', hertz)}, the job is rated "
            f"{shown('frequency_hz', rated)}. Flux goes as V/f, so that its volts stand {rated / hertz:.3g} "
            "times higher on the scale of the job. Is that the frequency of the supply?",
            (Figure("frequency", hertz, "Hz"), Figure("rated frequency", rated, "Hz")), take=number_,
        )
        for number_, hertz, what in found_ones
    )  # fmt: skip


def unlike_meters(sight: Sight) -> Answer:
    """A curve by other meters than its sisters or than noted, or by two meters of unlike response."""
    takes = [take for take in sight.takes_of_record("excitation") if take.rows]
    noted = [take for take in takes if take.method.cell("voltage_response").value_text is not None]
    if not noted:
        return sight.not_judged(UNLIKE, "The response of the voltmeter is not recorded.")
    found = []
    for take in noted:
        reasons = [*_against_instruments(sight, take), *_against_sisters(sight, take)]
        if reasons:
            sentence = (
                f"{phase_words(sight)}: {'; '.join(reasons)}. With a tenth of third harmonic an "
                "average-sensing voltmeter is off by 3.3 %, a true r.m.s. one by 0.5 %. Which meter read it?"
            )
            row = (sight.core.core_id,)
            found.append(Notice(UNLIKE, row, "excitation", "method", sentence, take=take.take))
    return tuple(found)


def _against_instruments(sight: Sight, take: Take) -> list[str]:
    reasons = []
    for quantity_id, response_id in _METERS:
        noted = take.method.cell(response_id).value_text
        used = {_response(entry) for entry in _instruments(sight, take, quantity_id)} - {None}
        what = "volts" if quantity_id == "v_excitation_v" else "current"
        if len(used) > 1:
            reasons.append(f"the {what} were read by {listed(sorted(str(entry) for entry in used))} meters")
        elif noted is not None and used and _RESPONSES.get(noted) not in used:
            reasons.append(
                f"the {what} are noted as {_RESPONSES.get(noted, noted)}, the meter is {used.pop()}"
            )
    return reasons


def _instruments(sight: Sight, take: Take, quantity_id: str) -> list[Instrument]:
    cells = [row.cell(quantity_id).current for row in take.rows]
    found = [instrument_of(sight.job, reading) for reading in cells if reading is not None]
    return [entry for entry in found if entry is not None]


def _response(instrument: Instrument) -> str | None:
    return _RESPONSES.get(instrument.response)


def _against_sisters(sight: Sight, take: Take) -> list[str]:
    own = take.method.cell("voltage_response").value_text
    reasons = []
    for sister in sight.sisters():
        its = sister.scene.of_record("excitation")
        other = None if its is None else its.method.cell("voltage_response").value_text
        if other is not None and other != own and own is not None:
            reasons.append(
                f"its volts are {_RESPONSES.get(own, own)}, those of {sister.scene.ct.phase_text} "
                f"{_RESPONSES.get(other, other)}"
            )
    return reasons


def calibration_ended(sight: Sight) -> Answer:
    """An instrument whose calibration had ended on the day of a reading of this core."""
    used = _by_instrument(sight)
    if not any(instrument.due_on for instrument, _ in used.values()):
        return sight.not_judged(EXPIRED, "No reading names an instrument with a date of calibration.")
    found = []
    for instrument, readings in used.values():
        if calibration_doubts(sight.scene, readings):
            day = max(reading.at_utc[:10] for reading in readings)
            sentence = (
                f"{instrument.name_text} took {len(readings)} reading{'s' if len(readings) > 1 else ''} of "
                f"{phase_words(sight)} on {day}; its calibration had ended on {instrument.due_on}. Is there "
                "a newer certificate?"
            )
            figures = (Figure("due", instrument.due_on or "", ""), Figure("used", day, ""))
            test = readings[0].procedure_id
            found.append(Notice(EXPIRED, (sight.core.core_id,), test, "", sentence, figures))
    return tuple(found)


def _by_instrument(sight: Sight) -> dict[str, tuple[Instrument, list[Reading]]]:
    used: dict[str, tuple[Instrument, list[Reading]]] = {}
    for test in PROCEDURES:
        for take in sight.takes_of_record(test.procedure_id):
            for reading in readings_of(take):
                instrument = instrument_of(sight.job, reading)
                if instrument is not None:
                    used.setdefault(instrument.instrument_id, (instrument, []))[1].append(reading)
    return used


METERS = (
    NoticeRow(notice_id=FREQUENCY, name="another frequency", look=other_frequency),
    NoticeRow(notice_id=UNLIKE, name="unlike meters", look=unlike_meters),
    NoticeRow(notice_id=EXPIRED, name="calibration ended", look=calibration_ended),
)
