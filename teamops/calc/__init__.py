"""The numbers, by subject: pure functions without Django, clock, log or database."""
