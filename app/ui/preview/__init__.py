"""The sheet on the screen and on the way to a printer."""
