"""Live plots. Nothing here is imported before it is needed: the library costs a third of a second."""
