"""Rows for tests, app by app; Traits name what a test is about."""
