"""How a test is wired: which leads go where, and whether the drawing shows it."""

from __future__ import annotations

import pytest

from ctcore.hookup import circuit_of, leads_of, setup_of
from ctcore.hookup.setup import Setup
from ctcore.job import CT, METHOD_ROW, Core, Reading, Tap
from ctcore.procedures import PROCEDURES
from ctcore.takes import Row as TakeRow
from ctcore.takes import Take, takes_of

WIRED = [test.procedure_id for test in PROCEDURES if test.procedure_id not in ("duty",)]


def tap(name: str, amperes: float) -> Tap:
    return Tap(tap_id=name, terminals_text=name, i_primary_rated_a=amperes, i_secondary_rated_a=5.0)


MULTI = Core(
    core_id="m",
    number=1,
    class_text="C400",
    taps=(tap("X1-X5", 1200), tap("X2–X3", 100), tap("X3-X4", 500), tap("X1-X2", 200)),
)
OTHER = Core(core_id="o", number=2, class_text="C400", taps=(tap("Y1-Y2", 1200),))
IEC = Core(core_id="i", number=1, class_text="5P20 15 VA", taps=(tap("1S1-1S2", 600),))


def empty(procedure_id: str) -> Take:
    return Take("m", procedure_id, 1, TakeRow(METHOD_ROW, {}))


def chosen(procedure_id: str, **method: str) -> Take:
    """A take with answers of its method block."""
    readings = [
        Reading(
            reading_id=name, core_id="m", procedure_id=procedure_id, take=1, row=METHOD_ROW, quantity_id=name,
            as_typed_text=value, value_text=value, person_id="p", at_utc="2031-01-01T00:00:00.000Z",
            utc_offset_minutes=0, device_id="d", device_seq=index,
        )
        for index, (name, value) in enumerate(method.items())
    ]  # fmt: skip
    return takes_of(readings)[("m", procedure_id)][0]


def setup(procedure_id: str, take: Take | None = None, core: Core = MULTI) -> Setup:
    ct = CT(ct_id="t", phase_text="L1", cores=(core, OTHER))
    found = setup_of(ct, core, procedure_id, take or empty(procedure_id))
    assert found is not None
    return found


def ends(found: Setup, name: str) -> list[tuple[str, str]]:
    return [(lead.from_text, lead.to_text) for lead in leads_of(found) if lead.lead_id.startswith(f"{name}/")]


def test_terminals_stand_in_the_order_of_the_winding_and_the_primary_in_their_marking() -> None:
    """Terminals of an IEEE winding are X1 to X5 with H1 and H2, of an IEC one S with P. Source: IEEE C57.13
    and IEC 61869-2, marking of terminals (from memory)."""
    assert setup("excitation").terminals == ("X1", "X2", "X3", "X4", "X5")
    assert setup("excitation").primary == ("H1", "H2")
    assert setup("excitation", core=IEC).primary == ("P1", "P2")


def test_the_tap_fed_is_the_one_that_the_leads_go_to() -> None:
    found = setup("excitation", chosen("excitation", tap_id="X2–X3"))

    assert found.pair == ("X2", "X3")
    assert [end for _, end in ends(found, "feed")] == ["X2", "X3"]


def test_unused_taps_of_the_core_under_test_stay_open_and_other_cores_are_shorted() -> None:
    """Common practice, no source: a shorted tap section of the same core is a shorted turn group."""
    found = setup("excitation", chosen("excitation", tap_id="X2–X3"))

    assert [start for start, _ in ends(found, "open")] == ["X1", "X4", "X5"]
    assert ends(found, "short") == [("Y1", "Y2")]


@pytest.mark.parametrize("procedure_id", ["excitation", "resistance", "ratio", "insulation", "demagnetising"])
def test_the_test_earth_is_the_first_lead_and_the_source_is_joined_after_the_shorts(
    procedure_id: str,
) -> None:
    """Common practice, no source: test earth first on, last off; other cores shorted before feeding."""
    names = [lead.lead_id.split("/")[0] for lead in leads_of(setup(procedure_id))]

    assert names[0] == "earth"
    fed = [index for index, name in enumerate(names) if name in ("feed", "read", "volts")]
    assert max(index for index, name in enumerate(names) if name == "short") < min(fed)


def test_links_are_closed_and_the_earth_landed_before_the_short_is_taken_out() -> None:
    names = [lead.lead_id.split("/")[0] for lead in leads_of(setup("links_back"))]

    assert names == ["land", "close", "close", "unshort", "read"]


def test_a_resistance_test_takes_the_first_tap_without_readings() -> None:
    assert setup("resistance").pair == ("X1", "X5")
    read = chosen("resistance", leads="four_wire")
    half_done = Take("m", "resistance", 1, read.method, (TakeRow("X1-X5", {}),))
    assert setup("resistance", half_done).pair == ("X2", "X3")


def test_the_method_chosen_decides_the_leads() -> None:
    two, four = (setup("resistance", chosen("resistance", leads=way)) for way in ("two_wire", "four_wire"))

    assert [len(ends(found, "volts")) for found in (two, four)] == [0, 2]
    by_current = setup("ratio", chosen("ratio", ratio_method="current"))
    assert [end for _, end in ends(by_current, "feed")] == ["H1", "H2"]


@pytest.mark.parametrize("procedure_id", WIRED)
def test_every_lead_of_a_test_is_known_by_its_ends(procedure_id: str) -> None:
    leads = leads_of(setup(procedure_id))

    assert leads
    assert len({lead.lead_id for lead in leads}) == len(leads)


@pytest.mark.parametrize("core", [MULTI, IEC], ids=["five terminals", "two terminals"])
@pytest.mark.parametrize("procedure_id", WIRED)
def test_a_drawing_stays_inside_its_paper_and_names_the_terminals(procedure_id: str, core: Core) -> None:
    found = setup(procedure_id, core=core)
    drawing = circuit_of(found)

    assert drawing is not None
    points = [point for stroke in drawing.strokes for point in stroke.points]
    points += [(arc.x - arc.radius, arc.y - arc.radius) for arc in drawing.arcs if arc.sweep_deg == 360.0]
    points += [(arc.x + arc.radius, arc.y + arc.radius) for arc in drawing.arcs if arc.sweep_deg == 360.0]
    assert all(0.0 <= x <= drawing.width and 0.0 <= y <= drawing.height for x, y in points)
    written = {words.text for words in drawing.words}
    assert {*found.terminals, *found.primary} <= written
    assert drawing.said_text.endswith(".")


def test_a_meter_in_the_wire_is_not_crossed_by_it() -> None:
    drawing = circuit_of(setup("excitation", core=IEC))
    assert drawing is not None
    meters = [arc for arc in drawing.arcs if arc.radius == 17.0]
    inside = [
        point
        for stroke in drawing.strokes
        for point in stroke.points
        for arc in meters
        if (point[0] - arc.x) ** 2 + (point[1] - arc.y) ** 2 < (arc.radius - 0.5) ** 2
    ]

    assert len(meters) == 2
    assert inside == []


def test_a_plate_without_terminals_has_no_hook_up() -> None:
    core = Core(core_id="n", number=1, class_text="", taps=(tap("", 600),))

    assert setup_of(CT(ct_id="t", phase_text="L1", cores=(core,)), core, "excitation", empty("x")) is None


def test_a_figure_that_is_only_worked_out_wants_no_lead() -> None:
    assert leads_of(setup("duty")) == ()
    assert circuit_of(setup("duty")) is None
