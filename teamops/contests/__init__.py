"""Trips, contests, entries, and the tasks that lead to a turn-in."""
