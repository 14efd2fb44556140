"""A plan's proof as plain dictionaries for ``results.json``: stock, bounds and weights, to verify it elsewhere."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from railwright.shop.cutting.felt_model import FeltCertificate, Sheet
from railwright.shop.cutting.model import Certificate, Cover, Plan, Stock
from railwright.shop.order_model import CuttingSheet


def proof_entry(sheet: CuttingSheet) -> dict[str, Any]:
    """Write one material's proof down.

    Args:
        sheet: the plan, checked, with the stock that it was made from.

    Returns:
        Cost and bound, what the check found, the stock, and the certificates. Lengths are in mm; weights are whole
        numbers by piece length, or by ``length x width`` of felt.
    """
    plan = sheet.plan
    entry = {
        "item": sheet.item,
        "cost": plan.cents / 100,
        "bound": plan.bound_cents / 100,
        "proven": sheet.proven,
        "faults": list(sheet.faults),
        "stock": [_stock(kind) for kind in sheet.stock],
        "certificate": _certificate(plan.certificate),
    }
    if isinstance(plan, Plan):
        entry |= {"kerf_mm": plan.kerf / 10, "trim_mm": plan.trim / 10}
        taken, unit = plan.shelf_length / 10, 10
    else:
        taken, unit = plan.shelf_area / 100, 100
    shelf = plan.shelf
    return entry | {
        "shelf": shelf
        and {"taken": taken, "bound": shelf.bound / unit, "certificate": _certificate(shelf.certificate)},
    }


def _stock(kind: Stock | Sheet) -> dict[str, Any]:
    return {
        "length_mm": kind.length / 10,
        "width_mm": kind.width / 10 if isinstance(kind, Sheet) else None,
        "price": kind.price / 100,
        "available": kind.available,
        "offcut": kind.offcut,
        "rack": kind.rack,
    }


def _certificate(proof: Certificate | FeltCertificate) -> dict[str, Any]:
    shared = {"argument": proof.explain(), "search_nodes": proof.search_nodes}
    if isinstance(proof, Certificate):
        return shared | {"weights": _covers(proof.covers)}
    return shared | {
        "strip_weights": [
            {"width_mm": width / 10, "weights": _covers([cover])[0]} for width, cover in proof.strip_covers
        ],
        "sheet_weights": _covers(proof.sheet_covers),
        "piece_weights": [
            {f"{length / 10} x {width / 10}": weight for length, width, weight in joint} for joint in proof.joint_covers
        ],
    }


def _covers(covers: Iterable[Cover]) -> list[dict[str, int]]:
    return [{f"{length / 10}": weight for length, weight in cover.weights} for cover in covers]
