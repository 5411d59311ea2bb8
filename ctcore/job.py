"""A job as plain frozen data: positions, current transformers, cores, taps, readings and references.

Plates are stored as turns and rated currents, never as "600/5" text. Readings are only ever added: a
correction names the reading it supersedes, a strike-out supersedes it with a reason and no value, and undoing
a first entry supersedes it as withdrawn.
A measured number stands twice: as typed, and as a decimal string in the base unit whose digits keep the
resolution.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final, Literal

from ctcore import plain
from ctcore.errors import BadInput
from ctcore.evidence import Attached, Watched
from ctcore.landing import Landing
from ctcore.left_out import LeftOut
from ctcore.question import Question

FORMAT_VERSION: Final = 1

JobState = Literal[
    "planned", "being_tested", "handed_in", "sent_back", "approved", "issued", "superseded", "void"
]
DecisionRule = Literal["simple", "guard_band", "four_way"]
Decision = Literal["accepted", "sent_back", "concession"]
DECISION_WORDS: Final[dict[Decision, str]] = {
    "accepted": "accepted as it is", "sent_back": "sent back", "concession": "concession",
}  # fmt: skip
CommentState = Literal["", "open", "answered", "closed"]
Answer = Literal["retest", "correction", "rebuttal"]
ANSWER_WORDS: Final[dict[Answer, str]] = {
    "retest": "taken again", "correction": "corrected", "rebuttal": "stands as it is",
}  # fmt: skip
STEP_WORDS: Final[dict[str, str]] = {
    "closed": "closed",
    "reopened": "opened again",
    **{str(answer): words for answer, words in ANSWER_WORDS.items()},
}
METHOD_ROW: Final = "method"
LATER: Final = plain.LATER


@dataclass(frozen=True, slots=True, kw_only=True)
class Tap:
    """One pair of terminals of a core, with its rated currents and turns in use."""

    tap_id: str
    terminals_text: str
    i_primary_rated_a: float
    i_secondary_rated_a: float
    turns_secondary_count: float | None = None
    turns_primary_count: float = 1.0

    @property
    def k_rated_ratio(self) -> float:
        """Rated transformation ratio I_pr/I_sr."""
        return self.i_primary_rated_a / self.i_secondary_rated_a

    @property
    def ns_over_np_ratio(self) -> float:
        """Turns ratio N_s/N_p; the rated ratio where the plate gives no turns."""
        if self.turns_secondary_count is None:
            return self.k_rated_ratio
        return self.turns_secondary_count / self.turns_primary_count


@dataclass(frozen=True, slots=True, kw_only=True)
class Core:
    """One core of a current transformer as its plate describes it."""

    core_id: str
    number: int
    class_text: str
    taps: tuple[Tap, ...]
    duty_text: str = ""
    service_tap_id: str | None = None
    class_on_every_tap: bool = False
    low_leakage: bool | None = None
    conductor: str = "copper"
    procedures: tuple[str, ...] = ()
    r_winding_75degc_plate_ohm: float | None = None
    remark_text: str = ""
    burden_connected_va: float | None = field(default=None, metadata=LATER)
    burden_connected_power_factor_ratio: float | None = field(default=None, metadata=LATER)
    left_out: tuple[LeftOut, ...] = field(default=(), metadata=LATER)

    @property
    def full_tap(self) -> Tap:
        """The tap with the most turns in use; the class belongs to it unless the plate says otherwise."""
        return max(self.taps, key=lambda tap: tap.ns_over_np_ratio)

    def tap(self, tap_id: str) -> Tap | None:
        """The tap of that id, or None."""
        return next((tap for tap in self.taps if tap.tap_id == tap_id), None)

    def why_left_out(self, procedure_id: str) -> str:
        """Why a test is not done on this core; empty where nobody left it out."""
        return next((one.reason_text for one in self.left_out if one.procedure_id == procedure_id), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class CT:
    """One current transformer: one serial number, one phase, one or more cores."""

    ct_id: str
    phase_text: str
    serial_text: str = ""
    maker_text: str = ""
    type_text: str = ""
    year_text: str = ""
    um_kv: float | None = None
    insulation: Literal["dry", "oil", "gas", "not stated"] = "not stated"
    plate_confirmed: bool = False
    cores: tuple[Core, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A set of current transformers at one place, usually one per phase."""

    position_id: str
    name_text: str
    p1_faces_text: str = ""
    cts: tuple[CT, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """One instrument of the job; the specification is a limit of error in percent of reading plus a floor."""

    instrument_id: str
    name_text: str
    kind_text: str = ""
    serial_text: str = ""
    response: Literal["mean", "true_rms", "peak", "not stated"] = "not stated"
    spec_reading_percent: float | None = None
    spec_floor: float | None = None
    spec_floor_unit: str = ""
    calibrated_on: str | None = None
    due_on: str | None = None
    certificate_text: str = ""
    checked_before_use_text: str = field(default="", metadata=LATER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """A person of the job, named on the sheet; a witness with what was watched.

    `watched` has the tests of each core; `witnessed` the tests where it was not said of which cores.
    """

    person_id: str
    name_text: str
    employer_text: str = ""
    authorisation_text: str = ""
    witnessed: tuple[str, ...] = field(default=(), metadata=LATER)
    watched: tuple[Watched, ...] = field(default=(), metadata=LATER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One value as it was read, by whom, when and with what; never changed, only superseded.

    Struck and withdrawn at once: set aside, because two stood in the field and the other one was kept.
    """

    reading_id: str
    core_id: str
    procedure_id: str
    take: int
    row: str
    quantity_id: str
    as_typed_text: str
    value_text: str | None
    person_id: str
    at_utc: str
    utc_offset_minutes: int
    device_id: str
    device_seq: int
    over_range: bool = False
    under_range: bool = False
    instrument_id: str | None = None
    supersedes_id: str | None = None
    reason_text: str = ""
    struck: bool = False
    withdrawn: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Acknowledgement:
    """A caution that was read at its step, by whom and when."""

    caution_id: str
    core_id: str
    procedure_id: str
    person_id: str
    at_utc: str
    utc_offset_minutes: int
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CommentStep:
    """What came after a comment: an answer with the reading that it refers to, its closing, its reopening."""

    kind: Literal["retest", "correction", "rebuttal", "closed", "reopened"]
    text: str
    person_id: str
    at_utc: str
    utc_offset_minutes: int
    reading_id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """A remark on a core or a step; job-wide where `core_id` is empty.

    `finding_key` pins it to one judged line and `reading_id` to one reading of it. One that wants an answer
    is a comment with a state; `steps` are what was said to it since.
    """

    remark_id: str
    core_id: str
    procedure_id: str
    text: str
    person_id: str
    at_utc: str
    utc_offset_minutes: int
    finding_key: str = field(default="", metadata=LATER)
    reading_id: str = field(default="", metadata=LATER)
    wants_answer: bool = field(default=False, metadata=LATER)
    steps: tuple[CommentStep, ...] = field(default=(), metadata=LATER)

    @property
    def state(self) -> CommentState:
        """Open, answered or closed; empty where no answer is wanted."""
        if not self.wants_answer:
            return ""
        last = self.steps[-1].kind if self.steps else "reopened"
        return "open" if last == "reopened" else "closed" if last == "closed" else "answered"


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """A departure with what was decided about it, by whom and when; and what is done, by whom, until when.

    A supervisor's decision names the judged line by `finding_key`, what was decided by `decision` and its
    reason by `decision_text`; it stands only while the line still says `found_text`. `valid_text` says for
    how long or under which terms a concession holds.
    """

    deviation_id: str
    core_id: str
    procedure_id: str
    found_text: str
    decision_text: str = ""
    person_id: str = ""
    at_utc: str = ""
    finding_key: str = field(default="", metadata=LATER)
    decision: Decision | None = field(default=None, metadata=LATER)
    disposition_text: str = field(default="", metadata=LATER)
    owner_text: str = field(default="", metadata=LATER)
    due_on: str | None = field(default=None, metadata=LATER)
    valid_text: str = field(default="", metadata=LATER)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitOverride:
    """A limit replaced by the office, with reason and name; both are printed.

    It holds for the core named, or for every core where none is; `class_text` narrows that to cores whose
    plate states the same class, or the same parts of it.
    """

    rule: str
    core_id: str
    limit_low: float | None
    limit_high: float | None
    reason_text: str
    person_text: str
    class_text: str = field(default="", metadata=LATER)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferencePoint:
    """One reading of a reference curve."""

    voltage_v: float
    current_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceCurve:
    """A factory or previous excitation curve with what a comparison needs to know; empty where not stated."""

    core_id: str
    tap_id: str
    kind: Literal["certificate", "previous"]
    source_text: str
    frequency_hz: float
    voltage_response: str
    points: tuple[ReferencePoint, ...]
    current_response: str = field(default="", metadata=LATER)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceValue:
    """A factory or previous value to compare with."""

    core_id: str
    row: str
    quantity_id: str
    kind: Literal["certificate", "previous"]
    value: float
    source_text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a drawing or certificate says of a core, to be compared with its plate.

    `name` is one of "class", "ratio", "terminals", "serial", "resistance".
    """

    core_id: str
    name: Literal["class", "ratio", "terminals", "serial", "resistance"]
    value_text: str
    source_text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class References:
    """What the job is judged by beside its plates."""

    decision_rule: DecisionRule = "simple"
    insulation_limit_set: str = "tradition_1_mohm"
    insulation_correction: str = "halving_per_10k"
    client_insulation_limit_ohm: float | None = None
    voltage_ceiling_v: float | None = None
    limit_overrides: tuple[LimitOverride, ...] = ()
    curves: tuple[ReferenceCurve, ...] = ()
    values: tuple[ReferenceValue, ...] = ()
    expected: tuple[Expected, ...] = field(default=(), metadata=LATER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Permit:
    """A safety document of the job: its kind, its number, when it was issued and when it was cancelled."""

    kind_text: str
    number_text: str
    issued_text: str = ""
    cancelled_text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """The title block of the job."""

    number_text: str
    title_text: str = ""
    site_text: str = ""
    customer_text: str = ""
    organisation_text: str = ""
    organisation_address_text: str = ""
    organisation_mark_text: str = ""
    work_order_text: str = ""
    work_type_text: str = ""
    drawings_text: str = ""
    relay_settings_text: str = ""
    permits_text: str = ""
    earlier_sheet_text: str = ""
    supply_text: str = ""
    weather_text: str = ""
    ambient_degc: float | None = None
    humidity_percent: float | None = None
    outage_ends_text: str = ""
    zone: str = "Etc/UTC"
    paper: Literal["A4", "Letter"] = "A4"
    sheet_language: Literal["en", "de"] = field(default="en", metadata=LATER)
    sheet_decimal_mark: Literal["point", "comma"] = field(default="point", metadata=LATER)
    permits: tuple[Permit, ...] = field(default=(), metadata=LATER)
    training: bool = field(default=False, metadata=LATER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One job of testing: everything that is judged, printed and kept."""

    job_id: str
    header: Header
    state: JobState = "planned"
    frequency_rated_hz: float = 50.0
    phase_names: tuple[str, ...] = ("L1", "L2", "L3")
    positions: tuple[Position, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    people: tuple[Person, ...] = ()
    references: References = field(default_factory=References)
    readings: tuple[Reading, ...] = ()
    acknowledgements: tuple[Acknowledgement, ...] = ()
    remarks: tuple[Remark, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    attached: tuple[Attached, ...] = field(default=(), metadata=LATER)
    landings: tuple[Landing, ...] = field(default=(), metadata=LATER)
    questions: tuple[Question, ...] = field(default=(), metadata=LATER)


@dataclass(frozen=True, slots=True)
class Place:
    """A core with the current transformer and the position that it belongs to."""

    position: Position
    ct: CT
    core: Core


def places(job: Job) -> list[Place]:
    """Every core of the job in the order of the sheet: by position, then transformer, then core."""
    return [
        Place(position, ct, core) for position in job.positions for ct in position.cts for core in ct.cores
    ]


def from_plain(data: dict[str, Any]) -> Job:
    """The job of a job file's structure (see `resources/job_file.schema.json`).

    The keys `format` and `version` of the file may stand beside the job's own.
    Raises BadInput naming the place, the value and the reason.

    >>> from_plain({"job_id": "j1", "header": {"number_text": "1042"}}).header.number_text
    '1042'
    """
    if not isinstance(data, dict):
        raise BadInput("job", data, "a group of named values is wanted here")
    body = {key: value for key, value in data.items() if key not in ("format", "version")}
    return plain.build(Job, body, where="job")


def to_plain(job: Job) -> dict[str, Any]:
    """The job as dictionaries, lists, texts, numbers and None, every field present.

    >>> to_plain(from_plain({"job_id": "j1", "header": {"number_text": "1042"}}))["state"]
    'planned'
    """
    flat: dict[str, Any] = plain.flatten(job)
    return flat
