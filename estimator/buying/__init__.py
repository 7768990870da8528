"""What to take and to order for several jobs: expected use, cover to a service level, packs, stock on hand, days."""

from estimator.buying.make import order
from estimator.buying.stock import read_stock
from estimator.van.cover import bulk_cover, critical_ratio, poisson_cover

__all__ = ["bulk_cover", "critical_ratio", "order", "poisson_cover", "read_stock"]
