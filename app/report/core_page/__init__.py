"""The parts of the page of one core of a set."""
