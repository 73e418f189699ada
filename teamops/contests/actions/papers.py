"""What is done to the team's papers."""

from django.db import transaction

from teamops.contests.models import TeamPaper


@transaction.atomic
def save_paper(*, paper: TeamPaper) -> TeamPaper:
    """Keep a paper; one that ran out is kept as well. Refuses one that ends before it starts."""
    paper.full_clean()
    paper.save()
    return paper


@transaction.atomic
def delete_paper(*, paper: TeamPaper) -> None:
    """Take a paper away; its history stays."""
    paper.delete()
