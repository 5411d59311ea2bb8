"""Steps from one form of the archive to the next."""
