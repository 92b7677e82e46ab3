"""What is bought and used besides the pieces, what it costs, and where the layers are too thick for the machine."""

from grading.supplies.bulk import Bulk, bulk
from grading.supplies.settings import SupplySettings, read_supply_settings, usual_settings
from grading.supplies.table import supplies_table
from grading.supplies.whole import Supplies, supplies
from grading.supplies.writing import write_bulk, write_supplies

__all__ = [
    "Bulk",
    "Supplies",
    "SupplySettings",
    "bulk",
    "read_supply_settings",
    "supplies",
    "supplies_table",
    "usual_settings",
    "write_bulk",
    "write_supplies",
]
