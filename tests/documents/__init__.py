"""Documents that are made from the program itself."""
