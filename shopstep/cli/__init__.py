"""The command line: parses words, asks the doors, prints. Imports wiring, faces and present."""
