"""How much is luck, in a sentence."""

from teamops.calc.variance.shares import SwingShares
from teamops.calc.words import count_of, number_word

FEW = 12  # contests, below which the shares are rough


def luck_share_sentence(shares: SwingShares | None) -> str:
    """The shares in whole percent that add up, and what they mean for a table."""
    if shares is None:
        return "Too few contests and sheets to tell the judges’ luck from the day’s."
    judges, day, criterion, rest = whole_percents(
        (shares.judges, shares.day, shares.criterion, shares.rest)
    )
    rough = (
        f" From {count_of(shares.contests, 'contest')}, so roughly."
        if shares.contests < FEW
        else ""
    )
    return (
        f"Of the swing in a single mark, {judges} % is the judge, all over the sheet,"
        f" {day} % the day, {criterion} % how one criterion went that day, and {rest} % one"
        f" judge’s view of one criterion. With {number_word(shares.seats)} judges at a table, about"
        f" {round(100 * shares.table)} % of what moves our average is who sat there.{rough}"
    )


def whole_percents(shares: tuple[float, ...]) -> list[int]:
    """Shares of 1 as whole percent that add up to 100: the largest remainders are rounded up."""
    parts = [100 * share for share in shares]
    whole = [int(part) for part in parts]
    order = sorted(range(len(parts)), key=lambda i: whole[i] - parts[i])
    for index in order[: 100 - sum(whole)]:
        whole[index] += 1
    return whole
