"""Plots of the sheet, drawn as lines on the page."""
