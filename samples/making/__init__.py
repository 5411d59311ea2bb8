"""Makes the sample jobs again from their models: `python -m samples.making`. The files are what ships."""
