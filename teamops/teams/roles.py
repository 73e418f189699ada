"""Who may do what: roles are permissions in code, each holding those before it."""

from enum import IntEnum

from django.db import models


class Permission(IntEnum):
    """What a page or a press asks for."""

    SEE = 1
    LOG = 2
    PLAN = 3
    MANAGE = 4

    @property
    def meaning(self) -> str:
        return {
            Permission.SEE: "see everything",
            Permission.LOG: "tick and log",
            Permission.PLAN: "do all the team's work, deleting included",
            Permission.MANAGE: "manage people, settings and the team itself",
        }[self]


class Role(models.TextChoices):
    """A member's part in the team."""

    READER = "reader", "Reader"
    HELPER = "helper", "Helper"
    COOK = "cook", "Cook"
    OWNER = "owner", "Owner"

    @property
    def permission(self) -> Permission:
        """The highest permission of this role."""
        return {
            Role.READER: Permission.SEE,
            Role.HELPER: Permission.LOG,
            Role.COOK: Permission.PLAN,
            Role.OWNER: Permission.MANAGE,
        }[self]

    @property
    def words(self) -> str:
        """What this role may do, said to whoever hands it out."""
        return {
            Role.READER: "sees everything, changes nothing",
            Role.HELPER: "also ticks off and logs score sheets",
            Role.COOK: "also plans, types sheets and deletes: all the team’s work",
            Role.OWNER: "also invites people, changes settings and can delete the team",
        }[self]

    def may(self, permission: Permission) -> bool:
        return self.permission >= permission
