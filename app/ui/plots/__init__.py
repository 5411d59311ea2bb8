"""Live plots. Nothing here is imported before it is needed: the plotting library costs a third of a second."""
