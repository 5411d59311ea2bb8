"""The commissioning sheet: the only place that knows reportlab."""
