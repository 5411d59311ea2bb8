"""The page for one test of one core: steps, caution, method, rows, plot, findings and read-back."""
