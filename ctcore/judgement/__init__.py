"""How readings become derived values and findings: shared parts, and one subject per file."""
