"""The first job step by step: rows of steps, a panel that shows one, and what leads it through the window."""
