"""The count of writes to a list, by which a second phone knows what is new."""

from django.db.models import F

from teamops.packing.models import PackingList


def next_state(packing_list: PackingList, *, reshaped: bool = False) -> int:
    """Count one write, taking the list for this transaction; `reshaped` when lines come or go.

    The row stays locked until the transaction ends, so states become visible in their order.
    """
    rows = PackingList.objects.filter(pk=packing_list.pk)
    rows.update(state=F("state") + 1, **({"shape": F("state") + 1} if reshaped else {}))
    fresh = rows.values("state", "shape").get()
    packing_list.state, packing_list.shape = fresh["state"], fresh["shape"]
    return packing_list.state
