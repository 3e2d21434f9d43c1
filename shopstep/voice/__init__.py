"""Voice: what the card says, and what is heard. Loaded only when voice is on."""
