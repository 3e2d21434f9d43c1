"""Screens: the bench itself and the pages that open over it."""
