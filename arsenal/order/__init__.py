"""Many balls on one condition: order with doubt, overlaps, gaps, what one pad would do."""

from arsenal.order.ranking import order
from arsenal.order.records import Order, OrderRow, PadResult, Remark, Stamp
from arsenal.order.stamps import ORDER_VERSION
from arsenal.order.whatif import what_if

__all__ = ["ORDER_VERSION", "Order", "OrderRow", "PadResult", "Remark", "Stamp", "order", "what_if"]
