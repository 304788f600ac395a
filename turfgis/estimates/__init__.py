"""Jobs on patches: take-off, orders, chance of running short, mowing time. No geometry is made here."""
