"""The desk: one object through which window and command line do everything."""

from __future__ import annotations

from app.desk.archive.fleet import FleetVerbs
from app.desk.archive.previous import PreviousVerbs
from app.desk.archive.sending import SendVerbs
from app.desk.attaching import AttachVerbs
from app.desk.checking import CheckingVerbs
from app.desk.landing import LandingVerbs
from app.desk.looking import LookVerbs
from app.desk.office import OfficeVerbs
from app.desk.outline import OutlineVerbs
from app.desk.planning import PlanningVerbs
from app.desk.plates import PlateVerbs
from app.desk.printing import PrintVerbs
from app.desk.questions import QuestionVerbs
from app.desk.queue import QueueVerbs
from app.desk.registers import RegisterVerbs
from app.desk.side_by_side import CompareVerbs
from app.desk.trail import TrailVerbs
from app.desk.travel import TravelVerbs
from app.desk.undoing import UndoVerbs


class Desk(
    AttachVerbs,
    LandingVerbs,
    PlateVerbs,
    PreviousVerbs,
    RegisterVerbs,
    FleetVerbs,
    OutlineVerbs,
    PlanningVerbs,
    UndoVerbs,
    TravelVerbs,
    PrintVerbs,
    TrailVerbs,
    QuestionVerbs,
    QueueVerbs,
    LookVerbs,
    CompareVerbs,
    OfficeVerbs,
    SendVerbs,
    CheckingVerbs,
):
    """Every verb of the worksheet, over one store and one set of preferences.

    A verb runs to its end in the thread that calls it and returns a `Change`; the window calls all of them in
    one writer thread.
    """
