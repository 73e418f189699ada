"""What people do with teams, places in them, links and their own accounts."""

from teamops.teams.actions.accounts import change_name, close_account
from teamops.teams.actions.invitations import accept_invitation, invite, revoke_invitation
from teamops.teams.actions.members import change_role, leave_team, remove_member
from teamops.teams.actions.photos import (
    delete_photos,
    keep_photo,
    keep_picture,
    small_name,
    tidy_photos,
)
from teamops.teams.actions.sign_in_links import make_sign_in_link, take_sign_in_link
from teamops.teams.actions.teams import change_team, create_team, delete_team

__all__ = [
    "accept_invitation",
    "change_name",
    "change_role",
    "change_team",
    "close_account",
    "create_team",
    "delete_photos",
    "delete_team",
    "invite",
    "keep_photo",
    "keep_picture",
    "leave_team",
    "make_sign_in_link",
    "remove_member",
    "revoke_invitation",
    "small_name",
    "take_sign_in_link",
    "tidy_photos",
]
