"""A store that is no longer where it was: noticed before an empty one is made in its place."""

from __future__ import annotations

from app.desk.copies import CopyKeeper
from app.desk.seen import Memory
from app.desk.view import Refusal
from app.desk.wall_clock import moment
from app.jobstore import Missing
from app.jobstore.opening import hot_journal
from app.settings import Settings, profile_folder


def demand_store(settings: Settings) -> str:
    """What there is to say where a store was seen here and none is; empty where there is one, or never was.

    Raises Missing where a copy of it can be brought back.
    """
    path = settings.store_path
    if path.exists() and (path.stat().st_size or hot_journal(path)):
        return ""
    what = "is empty" if path.exists() else "is not there"
    newest = CopyKeeper(settings).newest()
    if newest is not None:
        raise Missing(
            f"Nothing was changed. The store {path} {what}. The newest copy that was checked is of "
            f"{newest.when_text}, in {newest.where_text}."
        )
    seen = Memory(profile_folder(settings.folder)).last_seen()
    if not seen:
        return ""
    return (
        f"The store {path.name} that was seen here on {moment(seen, 0)} {what}, and no copy of it was found: "
        "an empty one was begun. Where it was moved, close this window, put it back and start again."
    )


def recover(settings: Settings) -> str:
    """Bring back the newest copy as a store of its own, and work on with that; what was done."""
    keeper = CopyKeeper(settings)
    newest = keeper.newest()
    if newest is None:
        raise Refusal(
            "Nothing was changed. There is no copy to bring back: connect the device that one lies on."
        )
    path = keeper.bring_back(newest.path)
    keeper.work_with(path)
    return (
        f"The copy of {newest.when_text} was brought back, read again with every digest and signature, and "
        f"is worked on as {path.name}. What was entered after it is not in it."
    )
