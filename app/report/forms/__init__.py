"""Blank forms for the field: a PDF to be written on by hand where the computer may not go."""

from __future__ import annotations

from app.report.forms.content import FormsInput, form_number
from app.report.forms.pages import Forms, render

__all__ = ["Forms", "FormsInput", "form_number", "render"]
