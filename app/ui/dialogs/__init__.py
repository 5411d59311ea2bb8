"""Questions that stand in front of a page. Each is opened, never waited for."""
