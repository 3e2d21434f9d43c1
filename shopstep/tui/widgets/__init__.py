"""Widgets of the bench screen; each draws its own rows and knows nothing of the session."""
