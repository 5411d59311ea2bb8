"""Pictures of the window for people to look at; made offscreen."""
