"""Other cloths for roles and layers, mesh in place of foam, and trials in plain cloth."""

from __future__ import annotations

from typing import Any

import pytest

from grading.errors import DocumentFaults, RequestFaults
from grading.pipeline import check_document
from grading.substitute import substitute
from tests.conftest import DEMO_NAMES
from tests.grading.substitute.support import ADD_PLAIN, PLAIN, graded, kept, made, panel_pouch, unproven
from tests.patterns import Json, changed, pouch

Documents = dict[str, Json]
MESH: Json = {"add": "mesh", "material": {"says": "netting", "kind": "mesh"}}


def refused(document: Json, *changes: Json) -> Any:
    with pytest.raises(RequestFaults) as found:
        made(document, *changes)
    return found.value.faults


def test_another_cloth_plays_a_role_and_is_told_of() -> None:
    result = substitute(pouch(), [{"cloth": "main", "with": PLAIN}])
    assert result.document["materials"]["main"] == PLAIN
    assert result.says == ("main is plain calico in place of canvas",)


def test_a_cloth_without_the_print_forgets_motifs_and_matches(demo_documents: Documents) -> None:
    document = kept(demo_documents["market_tote"], {"cloth": "main", "with": PLAIN})
    assert not any("motif" in piece for piece in document["pieces"].values())
    assert not any(part.get("match") for key in ("seams", "coverings") for part in document[key].values())
    assert unproven(document) == []


def test_a_role_that_is_there_is_not_added_again() -> None:
    (fault,) = refused(pouch(), {"add": "main", "material": PLAIN})
    assert (fault.path, fault.problem) == ("changes.0.add", "a material is named 'main' already")


def test_a_layer_is_given_to_another_role_and_the_cut_list_follows() -> None:
    document = made(pouch(), ADD_PLAIN, {"give": [{"piece": "panel"}, {"piece": "pocket"}], "material": "plain"})
    rows = [(row["piece"], row["layer"], row["material"]) for row in graded(document)["cut_list"]]
    assert sorted(rows) == [("panel", "lining", "lining"), ("panel", "plain", "plain"), ("pocket", "plain", "plain")]
    assert unproven(document) == []


def test_a_layer_of_a_name_that_is_taken_gets_a_name_of_its_own() -> None:
    document = made(pouch(), {"give": [{"piece": "panel", "layer": "main"}], "material": "lining"})
    assert document["pieces"]["panel"]["layers"] == [{"material": "lining", "name": "lining_2"}, {"material": "lining"}]


def test_layers_that_are_not_there_are_named_with_those_that_are() -> None:
    (fault,) = refused(pouch(), {"give": [{"piece": "panel", "layer": "foam"}], "material": "main"})
    assert (fault.path, fault.remedy) == ("changes.0.give.0.layer", "it has main, lining")
    (fault,) = refused(pouch(), {"give": [{"piece": "panel"}], "material": "silk"})
    assert fault.path == "changes.0.material"


def test_mesh_takes_the_place_of_all_layers_and_its_raw_edges_are_bound() -> None:
    document = changed(pouch(), "pieces.pocket.edges.top", {"fate": "raw", "allowance": 0})
    document = changed(document, "steps.1.finishes", ["pocket.bottom"])
    document = made(document, MESH, {"mesh": "pocket", "material": "mesh"})
    assert document["pieces"]["pocket"]["layers"] == [{"material": "mesh"}]
    assert document["findings"]["pocket_binding"]["binding"]["along"] == ["pocket.top"]
    (binding,) = (row for row in graded(document)["findings"] if row["name"] == "pocket_binding")
    assert (binding["length"], binding["width"]) == ("160 mm", "20 mm")
    assert "Bind the edges of the pocket with 160 mm of binding." in graded(document)["steps"]
    assert unproven(document) == []


def test_mesh_without_raw_edges_needs_no_binding_and_its_binding_may_be_cut() -> None:
    assert "pocket_binding" not in made(pouch(), MESH, {"mesh": "pocket", "material": "mesh"})["findings"]
    document = changed(pouch(), "pieces.panel.edges.top", {"fate": "raw"})
    document = changed(document, "steps.0", {"text": "Look.", "action": "mark", "uses": ["front"]})
    cut = {"width": "30 mm", "join": "60 mm", "cut_on": "straight", "material": "lining"}
    document = made(document, MESH, {"mesh": "panel", "material": "mesh", "binding": cut})
    assert document["findings"]["panel_binding"]["binding"] == {**cut, "along": ["front.top", "back.top"]}
    assert unproven(document) == []


def test_only_mesh_is_mesh() -> None:
    (fault,) = refused(pouch(), {"mesh": "pocket", "material": "lining"})
    assert (fault.path, fault.problem) == ("changes.0.material", "'lining' is cloth")


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_toile_of_a_demo_is_proven_and_of_one_cloth(name: str, demo_documents: Documents) -> None:
    document = kept(demo_documents[name], ADD_PLAIN, {"toile": "plain"})
    kinds = {each["material"] for piece in document["pieces"].values() for each in piece["layers"]}
    assert kinds <= {"plain", "mesh", "film", "board"}
    assert all(len(piece["layers"]) == 1 for piece in document["pieces"].values())
    assert unproven(document) == []
    assert check_document(document).faults == ()


def test_a_toile_is_neither_fused_nor_quilted() -> None:
    document = panel_pouch(layers=[{"material": "main", "oversize": "25 mm"}, {"material": "lining"}])
    quilting = {"text": "Quilt.", "action": "quilt", "uses": ["front", "back"]}
    document = made(changed(document, "steps", [quilting, *document["steps"]]), {"toile": "lining"})
    assert document["pieces"]["panel"]["layers"] == [{"material": "lining"}]
    assert [step["action"] for step in document["steps"]] == [step["action"] for step in pouch()["steps"]]


def test_changes_are_made_in_order_each_on_what_the_one_before_left() -> None:
    result = substitute(
        pouch(),
        [
            {"split": "pocket", "at": "20 mm"},
            {"split": "pocket_bottom", "at": "10 mm", "names": ["middle", "foot"]},
            ADD_PLAIN,
            {"give": [{"piece": "foot"}], "material": "plain"},
        ],
    )
    assert [*result.document["pieces"]] == ["panel", "pocket_top", "middle", "foot"]
    assert len(result.says) == 4
    assert unproven(result.document) == []


def test_faults_of_all_changes_are_told_at_once() -> None:
    faults = refused(pouch(), {"split": "pocket"}, {"cloth": "main"}, {"fold": "pocket"}, {"split": "a", "toile": "b"})
    assert [fault.path for fault in faults] == ["changes.0.at", "changes.1.with", "changes.2", "changes.3"]
    assert all(fault.remedy for fault in faults)


@pytest.mark.parametrize("changes", [[], "split", {"split": "pocket"}, [3], [{"toile": "lining"}] * 51])
def test_what_is_no_list_of_changes_is_refused(changes: Any) -> None:
    with pytest.raises(RequestFaults):
        substitute(pouch(), changes)


def test_a_change_that_makes_the_document_wrong_says_what_would_be_wrong() -> None:
    document = changed(pouch(), "materials.main.thickness", "1 mm")
    document = changed(document, "rules.thick", {"holds": "height >= 10*thickness_main", "because": "it bends"})
    (fault,) = refused(document, {"cloth": "main", "with": PLAIN})
    assert fault.path == "changes.0"
    assert "rules.thick" in fault.problem


def test_a_document_with_faults_is_refused_as_such() -> None:
    with pytest.raises(DocumentFaults):
        substitute(changed(pouch(), "seams.side.to", ["back.nowhere"]), [ADD_PLAIN])
