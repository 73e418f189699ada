"""What a category is cooked to."""

from teamops.contests.models import Category


def set_aim(*, category: Category) -> None:
    """Keep the peak temperature that the category aims at, or that it has none."""
    category.full_clean()
    category.save(update_fields=["aim_c"])
