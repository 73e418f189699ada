"""The count of writes to a list, by which a second phone knows what is new."""

from uuid import UUID

from django.db.models import F

from teamops.packing.models import PackingList


def take_list(list_id: UUID, *, reshaped: bool = False) -> None:
    """Count one write, taking the list for this transaction; `reshaped` when lines come or go.

    The row stays locked until the transaction ends, so states become visible in their order.
    """
    more = {"shape": F("state") + 1} if reshaped else {}
    PackingList.objects.filter(pk=list_id).update(state=F("state") + 1, **more)


def next_state(packing_list: PackingList, *, reshaped: bool = False) -> int:
    """Take a list, as `take_list` does, and read how often it has been written to."""
    take_list(packing_list.pk, reshaped=reshaped)
    fresh = PackingList.objects.values("state", "shape").get(pk=packing_list.pk)
    packing_list.state, packing_list.shape = fresh["state"], fresh["shape"]
    return packing_list.state
