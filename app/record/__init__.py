"""Canonical bytes, digests, the chain of events, revisions: everything that must be the same tomorrow."""
