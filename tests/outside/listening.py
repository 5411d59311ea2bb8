"""What a screen reader is told, over the desktop's own bus; run by the system's Python.

On standard input `walk` is answered by a line of JSON, every control that shows with its parent before it;
`heard` by what was announced since. A plain program: the library stands in no package of the project.
"""

import json
import sys
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, GLib  # noqa: E402

PATIENCE_SECONDS = 30
MOST_CHILDREN = 200
announced = []


def application():
    end = time.monotonic() + PATIENCE_SECONDS
    desktop = Atspi.get_desktop(0)
    while time.monotonic() < end:
        for place in range(desktop.get_child_count()):
            child = desktop.get_child_at_index(place)
            if child is not None:
                return child
        time.sleep(0.1)
    raise SystemExit("the program is not on the bus")


def told(item, parent, number):
    states = item.get_state_set()
    return {
        "number": number,
        "parent": parent,
        "role": item.get_role_name(),
        "name": item.get_name() or "",
        "description": item.get_description() or "",
        "focusable": states.contains(Atspi.StateType.FOCUSABLE),
        "enabled": states.contains(Atspi.StateType.ENABLED),
        "text": written(item),
    }


def written(item):
    return Atspi.Text.get_text(item, 0, -1) if item.get_role() == Atspi.Role.TEXT else ""


def walk(item, parent, found):
    if item is None or not item.get_state_set().contains(Atspi.StateType.SHOWING):
        return
    number = len(found)
    found.append(told(item, parent, number))
    for place in range(min(item.get_child_count(), MOST_CHILDREN)):
        walk(item.get_child_at_index(place), number, found)


def asked(channel, _condition):
    word = channel.readline().strip()
    if not word:
        loop.quit()
        return False
    if word == "walk":
        answer = []
        whole = application()
        whole.clear_cache()
        for place in range(whole.get_child_count()):
            walk(whole.get_child_at_index(place), -1, answer)
    else:
        answer = announced[:]
        announced.clear()
    sys.stdout.write(json.dumps(answer) + "\n")
    sys.stdout.flush()
    return True


loop = GLib.MainLoop()
listener = Atspi.EventListener.new(lambda event: announced.append(event.any_data))
listener.register("object:announcement")
GLib.io_add_watch(sys.stdin, GLib.PRIORITY_DEFAULT, GLib.IOCondition.IN | GLib.IOCondition.HUP, asked)
loop.run()
