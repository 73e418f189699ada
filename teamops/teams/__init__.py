"""People, teams, roles, and the scope that keeps one team's rows from another's."""
