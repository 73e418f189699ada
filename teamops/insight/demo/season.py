"""What the loading of the demo has at hand."""

from dataclasses import dataclass, field
from random import Random
from uuid import UUID

from teamops.contests.models import Contest
from teamops.rules.models import Rulebook
from teamops.teams.models import Team, User

HOME = UUID("5c0c1d7e-5a1a-4b52-9d0a-7e1a9be5a001")  # names the demo's rows, the same each time


@dataclass(slots=True)
class Season:
    """What the loading has at hand."""

    team: Team
    people: dict[str, User]
    rulebooks: dict[str, Rulebook]
    rng: Random
    contests: dict[str, Contest] = field(default_factory=dict)

    @property
    def owner(self) -> User:
        return self.people["orla"]
