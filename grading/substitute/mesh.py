"""One layer of mesh in place of all that a piece was cut from."""

from __future__ import annotations

from grading.substitute.changes import MeshChange
from grading.substitute.layers import Json, check_role, find_piece
from grading.substitute.names import check_new
from grading.substitute.steps import about, insert_step, uses_of
from grading.substitute.words import words


def make_mesh(document: Json, change: MeshChange) -> str:
    """Cut a piece from one layer of mesh, in place; edges left raw are bound. Raises Refused."""
    piece = find_piece(document, change.mesh, "mesh")
    check_role(document, change.material, kinds=("mesh",))
    piece["layers"] = [{"material": change.material}]
    raw = [edge for edge, settings in piece.get("edges", {}).items() if settings.get("fate") == "raw"]
    says = f"{words(change.mesh)} of one layer of {change.material}"
    if not raw:
        return says
    for edge in raw:
        piece["edges"][edge]["fate"] = "bound"
    name = f"{change.mesh}_binding"
    check_new(document, "findings", name, "mesh")
    _bind(document, change, name, raw)
    return f"{says}, its raw edges bound"


def _bind(document: Json, change: MeshChange, name: str, edges: list[str]) -> None:
    piece, uses = document["pieces"][change.mesh], uses_of(document, change.mesh)
    along = [f"{use}.{edge}" for use in uses for edge in edges]
    binding = {key: value for key, value in change.binding.model_dump(mode="json").items() if value is not None}
    when = {"when": piece["when"]} if piece.get("when") else {}
    finding = {"binding": {**binding, "along": along}, "says": f"round the {words(change.mesh)}", **when}
    document.setdefault("findings", {})[name] = finding
    step = {
        "action": "bind",
        "binds": [name],
        "text": f"Bind the edges of the {words(change.mesh)} with {{{name}.length}} of binding.",
        **when,
    }
    insert_step(document, step, about(document, uses) - {name})
