"""The hook-up of a test: its drawing and its landing list."""
