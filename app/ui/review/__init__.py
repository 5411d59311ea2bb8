"""What who decides looks at: what waits, what is to decide, and the phases side by side."""
