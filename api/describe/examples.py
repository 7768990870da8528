"""Examples in the service's description; each of them runs."""

from typing import Any

__all__ = [
    "BASKETS", "BOOKS", "CHOICES", "FLEETS", "INVOICES", "JOBS", "QUESTIONS", "RECORDS", "SETTLINGS", "VARIATIONS",
]  # fmt: skip

MEASURED: dict[str, Any] = {
    "reference": "EX-1",
    "site": {"distance": "40 km", "access": "open"},
    "bores": [
        {
            "name": "A",
            "nominal_diameter": "80 mm",
            "length": "50 mm",
            "outside_diameter": "150 mm",
            "material": "S355J2",
            "condition": {"cracks": "no", "duty": "ordinary"},
            "readings": {
                "kind": "diameter",
                "clock": [0, 90],
                "depth": ["10 mm", "40 mm"],
                "values": [["82.1 mm", "80.6 mm"], ["82.4 mm", "80.5 mm"]],
            },
        }
    ],
}
QUICK: dict[str, Any] = {
    "reference": "EX-2",
    "bores": [
        {
            "name": "pin",
            "nominal_diameter": "3.5 in",
            "length": "2.75 in",
            "material": {"C": 0.18, "Mn": 1.2},
            "worn_diameter": "3.6 in",
        }
    ],
}

JOBS: dict[str, Any] = {
    "measured": {"summary": "One bore, measured at two depths", "value": MEASURED},
    "quick": {"summary": "A budget price from the largest diameter alone, in inches", "value": QUICK},
}
QUESTIONS: dict[str, Any] = {
    "price": {"summary": "The price before tax", "value": {"job": MEASURED, "key": "price.before_tax"}},
    "deposit": {
        "summary": "Weld metal of bore A",
        "value": {"job": MEASURED, "key": "bores.A.buildup.deposit_mass_kg"},
    },
}
ECONOMICS: dict[str, Any] = {
    "discount_rate": 0.08,
    "hours_per_year": 1800,
    "downtime_cost": "140 EUR/h",
    "repair": {"life": "6000 h", "downtime": "16 h"},
    "replace": {"price": "7800 EUR", "life": "10000 h", "downtime": "30 h", "lead_time": "21 day"},
}
LISTED: dict[str, Any] = {
    "machine": "EX-1",
    "bore": "A",
    "class": "excavator",
    "nominal_diameter": "90 mm",
    "length": "70 mm",
    "worn_diameter": "92.1 mm",
    "read_at": "8000 h",
    "earlier_diameter": "91 mm",
    "earlier_at": "6000 h",
    "downtime_cost": "140 EUR/h",
    "part_price": "7800 EUR",
}
CSV = """machine,bore,nominal_diameter [mm],length [mm],worn_diameter [mm],read_at [h],downtime_cost [EUR/h]
EX-1,A,90,70,92.1,8000,140
EX-1,B,90,70,90.4,8000,140
"""
FLEETS: dict[str, Any] = {
    "rows": {
        "summary": "A list as rows, and what one shutdown may cost",
        "value": {"rows": [LISTED], "budget": "5000 EUR"},
    },
    "csv": {"summary": "A list as CSV text, units in its head", "value": {"csv": CSV, "crew_hours": "40 h"}},
}
CHOICES: dict[str, Any] = {
    "new part": {"summary": "Repair against a new part", "value": {**MEASURED, "economics": ECONOMICS}},
}
BASKETS: dict[str, Any] = {
    "two jobs": {
        "summary": "Two jobs, some tips on hand",
        "value": {
            "jobs": [MEASURED, QUICK],
            "stock": [{"item": "tip", "on_hand": 2, "pack_size": 5}],
            "service_level": 0.95,
        },
    },
}
BOOKS: dict[str, Any] = {
    "part": {
        "summary": "Only what differs from the built-in book",
        "value": {"name": "North shop", "rates": {"labour_on_site": "71.00 EUR/h"}},
    },
}
RECORDS: dict[str, Any] = {
    "a day": {
        "summary": "What one bore took, what was read on it, and an hour of waiting",
        "value": {
            "quote": "100001",
            "bores": [
                {
                    "name": "A",
                    "arc_time": "34 min",
                    "wire": "0.9 kg",
                    "setup": "65 min",
                    "machining": "80 min",
                    "on_site": "5.2 h",
                    "preheat_read": "25 degC",
                    "interpass_read": "170 degC",
                    "finished": {
                        "uncertainty": "0.004 mm",
                        "stations": [
                            {"depth": "10 mm", "diameter": "80.021 mm", "clock": 0},
                            {"depth": "40 mm", "diameter": "80.024 mm", "clock": 90},
                        ],
                    },
                }
            ],
            "wire_batch": "W-2231",
            "gas_batch": "G-88",
            "welder": "no. 14",
            "purchase_order": "PO 7731",
            "signature": "site foreman",
            "variations": [{"description": "grease line moved", "price": "85.00 EUR", "approved_by": "site foreman"}],
            "standing": [{"reason": "machine not cleaned", "time": "1 h", "people": 2, "approved_by": "site foreman"}],
        },
    },
}
INVOICES: dict[str, Any] = {
    "plain": {"summary": "All that is still to be invoiced", "value": {}},
    "dated": {"summary": "The day by which the work was done", "value": {"delivered": "2026-03-09"}},
}
VARIATIONS: dict[str, Any] = {
    "more wear": {
        "summary": "More wear found in one bore, and a grease line in the way",
        "value": {
            "cause": "sound metal only further out than was read",
            "bores": [{"name": "A", "wear": "4.2 mm"}],
            "work": [{"description": "grease line moved", "price": "85.00 EUR"}],
        },
    },
}
SETTLINGS: dict[str, Any] = {
    "by phone": {"summary": "Who said so, and how", "value": {"by": "site foreman", "how": "phone"}},
}
