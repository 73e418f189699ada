"""Rulebooks and their criteria: how a table of marks becomes a total."""
