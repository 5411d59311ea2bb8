"""The archive of the office in the window: asked behind it, so that a slow server holds nobody up."""
