from teamops.teams.models.links import Invitation, OnceLink, SignInLink, hash_token
from teamops.teams.models.team import Membership, Team, known_zone
from teamops.teams.models.user import User

__all__ = [
    "Invitation",
    "Membership",
    "OnceLink",
    "SignInLink",
    "Team",
    "User",
    "hash_token",
    "known_zone",
]
