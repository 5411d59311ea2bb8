"""The whole sheet: what stands on it, that its bytes stay, that nothing is cut."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path

import pytest

from app.report.content import SheetInput
from app.report.sheet import render, write
from ctcore.findings import Finding
from ctcore.job import CT, Core, Header, Job, LimitOverride, References
from tests.app.report.making import (
    DIGEST,
    LONG_NAME,
    draft,
    frozen,
    reading,
    set_of,
    tap,
)
from tests.app.report.reading_back import fonts_of, overlapping, words_of

Printed = Callable[[SheetInput], str]


def test_a_frozen_sheet_carries_its_digest_in_groups_and_who_tested(
    three_phases: Job, printed: Printed
) -> None:
    text = printed(frozen(three_phases))
    assert "9a73 fd9d 7fd5 865d 589a 87c9 da34 b059" in text
    assert "Ilse Marren" in text
    assert "I took these readings as recorded." in text
    assert "13 Oct 2026 11:31 +02:00" in text


def test_nothing_pretends_to_be_a_cryptographic_signature(three_phases: Job, printed: Printed) -> None:
    text = printed(frozen(three_phases))
    pages = text.count("frozen, not cryptographically signed")
    assert pages >= text.count("Digest of the record, SHA-256")


def test_a_draft_says_so_on_every_page(three_phases: Job, printed: Printed) -> None:
    text = printed(draft(three_phases))
    pages = text.count("Digest of the record") + text.count("figures may still change")
    assert text.count("DRAFT, NOT FROZEN") == 2 * pages
    assert "not declared yet" in text


def test_a_draft_shows_no_declaration_even_where_one_is_given(three_phases: Job, printed: Printed) -> None:
    declared = frozen(three_phases).declaration
    assert "Ilse Marren" not in printed(draft(three_phases, declaration=declared))


def test_every_page_says_which_of_how_many_it_is(three_phases: Job, printed: Printed) -> None:
    text = printed(frozen(three_phases))
    total = text.count("continues on page") + 1
    assert [f"{page} of {total}" in text for page in range(1, total + 1)] == [True] * total
    assert text.count("end of sheet") == 1


def test_the_end_mark_comes_last(three_phases: Job, printed: Printed) -> None:
    text = printed(frozen(three_phases))
    assert text.index("End of sheet 1042, revision 1") > text.index("Excitation, fed at S1-S2")


def test_the_same_record_gives_the_same_bytes(three_phases: Job) -> None:
    assert render(frozen(three_phases)) == render(frozen(three_phases))


def test_the_document_is_dated_at_its_issue(three_phases: Job) -> None:
    assert b"D:20261013093100+00'00" in render(frozen(three_phases))


def test_every_font_is_embedded_and_none_is_foreign(three_phases: Job, tmp_path: Path) -> None:
    fonts = fonts_of(render(frozen(three_phases)), tmp_path)
    assert fonts
    assert [line for line in fonts if "DejaVu" not in line or " yes yes yes " not in line] == []


def test_no_page_carries_a_transition(three_phases: Job) -> None:
    assert b"/Trans" not in render(frozen(three_phases))


def test_readings_and_derived_values_stand_on_the_sheet(three_phases: Job, printed: Printed) -> None:
    text = printed(frozen(three_phases))
    typed = [
        entry.value_text for entry in three_phases.readings if entry.row == "7" and entry.core_id == "L2"
    ]
    assert f"{float(typed[0] or 0):g}" in text
    assert "knee 10/50, V" in text


def test_a_plate_limit_is_printed_with_its_source(three_phases: Job, printed: Printed) -> None:
    text = printed(frozen(three_phases))
    assert "250 at least" in text
    assert "Ek on the plate" in text


def test_an_empty_job_prints(printed: Printed) -> None:
    text = printed(draft(Job(job_id="j", header=Header(number_text="7"))))
    assert "Result: no lines." in text
    assert "The job holds no current transformer yet." in text
    assert "End of sheet 7" in text


def test_a_job_without_readings_says_not_tested(printed: Printed) -> None:
    job = dataclasses.replace(set_of(("L1", "L2", "L3")), readings=())
    text = printed(draft(job))
    assert "no readings" in text
    assert "12 not tested" in text


def test_a_missing_phase_is_named(printed: Printed) -> None:
    text = printed(draft(set_of(("L1", "L3"))))
    assert "No transformer entered for L2" in text


def test_a_lone_neutral_misses_nobody(printed: Printed) -> None:
    text = printed(draft(set_of(("N",))))
    assert "No transformer entered for" not in text
    assert "Line side, core 1" in text


def test_letter_paper_is_letter(three_phases: Job) -> None:
    header = dataclasses.replace(three_phases.header, paper="Letter")
    assert b"/MediaBox [ 0 0 612 792 ]" in render(draft(dataclasses.replace(three_phases, header=header)))


def _long(job: Job) -> Job:
    header = dataclasses.replace(
        job.header,
        number_text="WO-2026-1042-LINE-SIDE-OF-THE-SORN-VALLEY-SWITCHING-STATION",
        customer_text=LONG_NAME,
        title_text=LONG_NAME,
        site_text="Sornbeck" * 12,
        organisation_text=LONG_NAME,
    )
    position = dataclasses.replace(job.positions[0], name_text=LONG_NAME[:90])
    return dataclasses.replace(job, header=header, positions=(position,))


def _twenty_taps(job: Job) -> Job:
    taps = tuple(tap(f"S{number}-S{number + 1}", 100.0 * number) for number in range(1, 21))
    cts = tuple(
        dataclasses.replace(ct, cores=tuple(dataclasses.replace(core, taps=taps) for core in ct.cores))
        for ct in job.positions[0].cts
    )
    readings = [
        reading(core_id, "resistance", entry.tap_id, "r_measured_ohm", f"{0.01234 * number:.4g}")
        for core_id in ("L1", "L2", "L3")
        for number, entry in enumerate(taps, start=1)
    ]
    position = dataclasses.replace(job.positions[0], cts=cts)
    return dataclasses.replace(job, positions=(position,), readings=(*job.readings, *readings))


@pytest.mark.parametrize(
    "job",
    [
        pytest.param(_long(set_of(("L1", "L2", "L3"))), id="long names"),
        pytest.param(_twenty_taps(set_of(("L1", "L2", "L3"))), id="twenty taps"),
        pytest.param(set_of(("L1", "L2", "L3"), points=60), id="curves of sixty points"),
        pytest.param(set_of(("L1", "L3"), points=60), id="a phase missing"),
        pytest.param(set_of(("N",), points=27), id="a lone neutral"),
        pytest.param(set_of(("1", "2", "3")), id="phases with bare figures"),
    ],
)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_word_is_cut_or_lies_on_another(job: Job, paper: str, tmp_path: Path) -> None:
    job = dataclasses.replace(job, header=dataclasses.replace(job.header, paper=paper))
    words = words_of(render(draft(job)), tmp_path)
    width = 595.3 if paper == "A4" else 612.0
    assert overlapping(words) == []
    assert [word for word in words if word.left < 56.0 or word.right > width - 36.0] == []


def test_a_long_customer_name_is_printed_whole(three_phases: Job, printed: Printed) -> None:
    text = printed(draft(_long(three_phases)))
    assert text.replace(" ", "").count(LONG_NAME.replace(" ", "")[:40]) >= 1


def test_sixty_points_of_three_phases_are_all_printed(printed: Printed) -> None:
    job = set_of(("L1", "L2", "L3"), points=60)
    text = printed(draft(job))
    volts = [entry.value_text for entry in job.readings if entry.quantity_id == "v_excitation_v"]
    missing = [value for value in volts if value is not None and f" {value} " not in text]
    assert missing == []


def test_hostile_text_is_shown_as_code_points(three_phases: Job, printed: Printed) -> None:
    header = dataclasses.replace(three_phases.header, customer_text="Net\u202eevil\x07 <b>bold</b> & more")
    text = printed(draft(dataclasses.replace(three_phases, header=header)))
    assert "Net[U+202E]evil[U+0007] <b>bold</b> & more" in text


def test_a_newer_judgement_stands_beside_the_frozen_one(three_phases: Job, printed: Printed) -> None:
    given = frozen(three_phases)
    first = given.findings[-1]
    changed = dataclasses.replace(first, verdict="outside", limit_high=1.0, limit=1.0)
    text = printed(dataclasses.replace(given, rejudged=[*given.findings[:-1], changed]))
    assert "Judgement of the newer program version, for information" in text
    assert "outside:" in text
    assert "None outside" in text


def test_an_equal_newer_judgement_adds_nothing(three_phases: Job, printed: Printed) -> None:
    given = frozen(three_phases)
    text = printed(dataclasses.replace(given, rejudged=list(given.findings)))
    assert "Judgement of the newer program version" not in text


def test_a_limit_from_memory_says_check_against_the_standard(three_phases: Job, printed: Printed) -> None:
    finding = Finding(
        "L1", "ratio_error_percent", 0.7, 1.0, 0.3, "within", "Table of a standard", "ratio.class",
        procedure="ratio", row="S1-S2", unit="percent", limit_low=-1.0, limit_high=1.0,
        limit_standing="from memory",
    )  # fmt: skip
    text = printed(draft(three_phases, findings=[finding]))
    assert "Table of a standard (from memory: check against the standard)" in text


def test_a_replaced_limit_is_printed_with_reason_and_name(three_phases: Job, printed: Printed) -> None:
    override = LimitOverride(
        rule="resistance.limit",
        core_id="L1",
        limit_low=None,
        limit_high=3.4,
        reason_text="longer leads agreed",
        person_text="K. Ellingvar",
    )
    job = dataclasses.replace(three_phases, references=References(limit_overrides=(override,)))
    text = printed(draft(job))
    assert "longer leads agreed (K. Ellingvar)" in text
    assert "3.4" in text


def test_the_sheet_defers_to_those_who_authorise(three_phases: Job, printed: Printed) -> None:
    text = printed(draft(three_phases))
    assert "This sheet authorises no work and no energising." in text
    assert "Local law, the owner's safety rules and the person in charge come first." in text


def test_cores_of_unlike_class_do_not_share_a_page(printed: Printed) -> None:
    job = set_of(("L1", "L2"))
    position = job.positions[0]
    other = CT(
        ct_id="ct-x", phase_text="L3", cores=(Core(core_id="L3", number=1, class_text="C400", taps=()),)
    )
    job = dataclasses.replace(job, positions=(dataclasses.replace(position, cts=(*position.cts, other)),))
    text = printed(draft(job))
    assert "Line side, core 1: C400" in text
    assert "Line side, core 1: PX Ek 250 V Ie 60 mA Rct 3 ohm" in text


def test_the_file_appears_whole(three_phases: Job, tmp_path: Path) -> None:
    path = tmp_path / "out.pdf"
    write(frozen(three_phases), path)
    assert path.read_bytes() == render(frozen(three_phases))
    assert [entry.name for entry in tmp_path.iterdir()] == ["out.pdf"]


def test_the_digest_of_the_test_is_sixty_four_digits() -> None:
    assert len(DIGEST) == 64


def test_the_duty_is_printed_with_its_formula_and_the_numbers_put_in(printed: Printed) -> None:
    job = set_of(("L1",))
    keyed = {"i_fault_primary_a": "12000", "r_loop_ohm": "2", "factor_k_ratio": "2"}
    duty = [reading("L1", "duty", "factor", name, text) for name, text in keyed.items()]
    method = {"leads": "four_wire", "t_winding_degc": "75", "t_winding_source": "surface_probe"}
    winding = [reading("L1", "resistance", "method", name, text) for name, text in method.items()]
    winding.append(reading("L1", "resistance", "S1-S2", "r_measured_ohm", "3"))
    text = printed(draft(dataclasses.replace(job, readings=(*job.readings, *winding, *duty))))
    assert "Knee voltage required: K If/n (Rct + Rl + Rr) = 2 × 12 000/600 × (3 + 2 + 0)" in text.replace(
        "\u202f", " "
    )
