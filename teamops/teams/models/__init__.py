from teamops.teams.models.exchange import ColumnMap, ImportBatch
from teamops.teams.models.links import Invitation, ListLink, OnceLink, SignInLink, hash_token
from teamops.teams.models.photo import Photo
from teamops.teams.models.team import Membership, Team, known_zone
from teamops.teams.models.user import User

__all__ = [
    "ColumnMap",
    "ImportBatch",
    "Invitation",
    "ListLink",
    "Membership",
    "OnceLink",
    "Photo",
    "SignInLink",
    "Team",
    "User",
    "hash_token",
    "known_zone",
]
