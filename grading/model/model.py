"""A pattern as symbols, for one ruler: everything that its sizes have in common."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grading.document.pattern import Pattern
from grading.exact import Ruler
from grading.model.coverings import Covering, read_coverings
from grading.model.draft import Alteration, Draft
from grading.model.findings import Finding, read_findings
from grading.model.measures import all_measures
from grading.model.pieces import Piece, outline_relations, read_pieces
from grading.model.problem import Measure
from grading.model.relation import Relation
from grading.model.rules import cloth_relations, content_relations, limit_relations, rule_relations
from grading.model.seams import Parts, Seam, read_seams, zip_edges


@dataclass(frozen=True)
class Model:
    """A pattern as symbols. `relations` are all but those of a request (fixed, stock, asked)."""

    pattern: Pattern
    ruler: Ruler
    parts: Parts
    pieces: Mapping[str, Piece]
    seams: Mapping[str, Seam]
    coverings: Mapping[str, Covering]
    findings: Mapping[str, Finding]
    relations: tuple[Relation, ...]
    measures: tuple[Measure, ...]
    alterations: tuple[Alteration, ...]

    @property
    def draft(self) -> Draft:
        """How the document's values were read."""
        return self.parts.draft


def build_model(pattern: Pattern, ruler: Ruler) -> Model:
    """Draw the pattern as symbols, its constants on the ruler. Raises DocumentFaults with all faults of a stage."""
    draft = Draft(pattern, ruler)
    pieces = read_pieces(draft)
    parts = Parts(draft, pieces, zip_edges(draft))
    draft.refuse_faults()
    seams, coverings, findings = read_seams(parts), read_coverings(parts), read_findings(parts)
    relations = [
        *limit_relations(draft),
        *(relation for piece in pieces.values() for relation in outline_relations(draft, piece)),
        *(relation for seam in seams.values() for relation in (seam.relation, *seam.notch_relations)),
        *(relation for covering in coverings.values() for relation in covering.relations),
        *content_relations(parts),
        *(relation for finding in findings.values() for relation in finding.relations),
        *rule_relations(draft),
        *cloth_relations(draft, pieces),
    ]
    draft.refuse_faults()
    return Model(
        pattern,
        ruler,
        parts,
        pieces,
        seams,
        coverings,
        findings,
        tuple(relation for relation in relations if not _holds_always(relation)),
        all_measures(draft, pieces, seams, coverings, findings),
        tuple(draft.alterations.values()),
    )


def _holds_always(relation: Relation) -> bool:
    """Whether it is an inequality between constants that holds; equations of 0 = 0 are kept as implied ones."""
    form = relation.form
    return not relation.is_equation and form.is_constant and form.enclosure({}).low >= 0
