from teamops.packing.models.line import PackingLine
from teamops.packing.models.packing_list import PackingList
from teamops.packing.models.shopping import ShoppingLine

__all__ = ["PackingLine", "PackingList", "ShoppingLine"]
