"""Plots: the live one by Qt's own painter, with what stays kept as a picture; the others by pyqtgraph."""
