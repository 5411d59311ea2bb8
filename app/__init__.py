"""The Coreleaf worksheet: desk, store, sheet, exchange and window around ctcore."""
