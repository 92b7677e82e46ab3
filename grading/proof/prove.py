"""All claims of one graded size, as this library derives them; `grading.verify` derives and judges its own."""

from __future__ import annotations

from typing import Any

from grading.grade import Grade
from grading.grade.writing import write_grade
from grading.proof.claims import Claim
from grading.proof.making import making_claims
from grading.proof.measures import displacement_claims, ease_claims, ruler_claims
from grading.proof.nearest import nearest_claims
from grading.proof.relations import relation_claims
from grading.proof.shape import shape_claims
from grading.proof.volume import volume_claims

CLOSING = "Numbers checked; your cloth, quilting and sewing are not."


def prove(grade: Grade) -> tuple[Claim, ...]:
    """Every claim with its two sides and whether it holds, judged exactly."""
    return (
        *relation_claims(grade),
        *shape_claims(grade),
        *making_claims(grade),
        *ruler_claims(grade),
        *ease_claims(grade),
        *displacement_claims(grade),
        *nearest_claims(grade),
        *volume_claims(grade),
    )


def write_proof(grade: Grade) -> dict[str, Any]:
    """The proof as plain data: the certificate, and each claim with both sides."""
    claims = prove(grade)
    return {
        "format": 1,
        "kind": "proof",
        "pattern": grade.model.pattern.name,
        "certificate": write_grade(grade)["certificate"],
        "claims": [
            {
                "kind": claim.kind,
                "about": claim.about,
                "says": claim.says,
                "left": claim.left,
                "right": claim.right,
                "holds": claim.holds,
            }
            for claim in claims
        ],
        "holding": sum(claim.holds for claim in claims),
        "says": CLOSING,
    }
