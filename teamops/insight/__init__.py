"""Pages that compose: the season, the points ledger."""
