"""The bundle: one folder with the program, Python and every library, built, tried and measured."""
