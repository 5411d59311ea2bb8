"""Live plots, drawn with Qt's own painter; what stays while one types is kept as a picture."""
