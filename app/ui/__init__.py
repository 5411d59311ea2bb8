"""The only Qt: pages, panels, models, plots, widgets and the theme."""
