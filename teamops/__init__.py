"""Teamops: the work of a competition cook team, from entering a contest to reading its scores."""
