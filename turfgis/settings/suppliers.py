"""``[supplier.NAME]``: what an order must say to the one who brings it, and how long beforehand."""

from turfgis.settings.values import Settings
from turfgis.settings.when import IntervalText


class Supplier(Settings):
    """
    ``[supplier.NAME]``; materials name it with ``supplier = "NAME"``.

    Attributes
    ----------
    lead
        From order to delivery.
    deliver_before
        How long before the work goods should be there.
    account
        Number or note that the supplier books the order under.
    deliver_to, access
        Where to tip or unload, and what may drive there.
    """

    lead: IntervalText | None = None
    deliver_before: IntervalText | None = None
    account: str = ""
    deliver_to: str = ""
    access: str = ""
