"""Translators from plain data to Qt's item models; each passes Qt's own model tester."""
