"""Published B-H points of two electrical steels, with their header lines."""
