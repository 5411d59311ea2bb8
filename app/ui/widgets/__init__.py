"""Widgets that several pages share: fields, buttons with their keys, the hold on keys while writing."""
