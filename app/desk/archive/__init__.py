"""What laptop and office do with the archive: send, take in, find, compare, keep."""
