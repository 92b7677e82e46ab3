"""The proof page of a grade: every seam with both sides, files to take along, and pieces measured at the table."""

from __future__ import annotations

import asyncio
from typing import Any

from litestar import Request, Response, get, post
from litestar.datastructures import State
from litestar.params import FromPath

from api.pages.caller import AtDoor, wants_part
from api.pages.door import Caller, Refused
from api.pages.proof.checks import by_kind, plain, seams_checked, told
from api.pages.proof.measured import read_measured
from api.pages.rendering import page

Asked = Request[Any, Any, State]
SVG = "image/svg+xml"
FILES = {
    "grade.json": ("", "application/json", "the grade, every number of it"),
    "proof.json": ("/proof", "application/json", "every check that is made, and what shows it"),
    "cut-list.csv": ("/cut-list", "text/csv", "the cut list as a table"),
    "cut-list.json": ("/cut-list", "application/json", "the cut list for programs"),
}
"""Files that can be taken along: where each lies below its grade, its format, and what it is."""


@get("/proofs/{grade_id:str}")
async def proof_page(caller: AtDoor, grade_id: FromPath[str]) -> Response[str]:
    """Shows what was checked of a grade."""
    return page("proof.html", **await _content(caller, grade_id), measured=None)


@get("/proofs/{grade_id:str}/picture")
async def bag_picture(caller: AtDoor, grade_id: FromPath[str], request: Asked) -> Response[bytes]:
    """The finished bag."""
    beside = "card" if request.query_params.get("beside") == "card" else "a4"
    return _picture((await caller.get(f"/grades/{_id(grade_id)}/picture", query={"beside": beside})).content)


@get("/proofs/{grade_id:str}/seams/{seam:str}/picture")
async def seam_picture(caller: AtDoor, grade_id: FromPath[str], seam: FromPath[str]) -> Response[bytes]:
    """Both sides of a seam."""
    return _picture((await caller.get(f"/grades/{_id(grade_id)}/seams/{_name(seam)}/picture")).content)


@get("/proofs/{grade_id:str}/files/{name:str}")
async def proof_file(caller: AtDoor, grade_id: FromPath[str], name: FromPath[str]) -> Response[bytes]:
    """One of the files, to be kept."""
    if name not in FILES:
        raise Refused(404, {"title": "Nothing is here", "detail": f"Files of a proof are {', '.join(FILES)}."})
    below, media_type, _ = FILES[name]
    content = (await caller.get(f"/grades/{_id(grade_id)}{below}", accept=media_type)).content
    headers = {"Content-Disposition": f'attachment; filename="{grade_id[:8]}-{name}"'}
    return Response(content, media_type=media_type, headers=headers)


@post("/proofs/{grade_id:str}/measured", status_code=200)
async def measured(caller: AtDoor, grade_id: FromPath[str], request: Asked) -> Response[str]:
    """Judges one seam by what was measured at the table."""
    form = {name: str(value) for name, value in (await request.form()).items()}
    judged = await _judged(caller, grade_id, form)
    if wants_part(request):
        return page("proof_measured.html", measured=judged)
    return page("proof.html", **await _content(caller, grade_id), measured=judged)


async def _content(caller: Caller, grade_id: str) -> dict[str, Any]:
    grade, verdict = await asyncio.gather(
        caller.get(f"/grades/{_id(grade_id)}"), caller.post("/verifications", {"grade_id": grade_id})
    )
    found = verdict.json
    return {
        "grade_id": grade_id,
        "grade": grade.json,
        "verdict": found,
        "seams": seams_checked(grade.json, found["claims"]),
        "kinds": by_kind(found["counts_by_kind"], found["failing"]),
        "failing": [told(claim) for claim in found["failing"]],
        "files": {name: says for name, (_, _, says) in FILES.items()},
    }


async def _judged(caller: Caller, grade_id: str, form: dict[str, str]) -> dict[str, Any]:
    """The seam, what was typed, and the verdict on it or what is wrong with what was typed."""
    judged: dict[str, Any] = {"seam": form.get("seam", ""), "typed": form, "verdict": None, "problems": []}
    pieces, missing = read_measured(form)
    if missing:
        names = ", ".join(plain(edge) for edge in missing)
        judged["problems"] = [f"Measure every edge of both sides; still to measure: {names}."]
        return judged
    sent = {"uncertainty": _with_unit(form, "uncertainty"), "pieces": pieces}
    try:
        answer = await caller.post("/verifications", {"grade_id": grade_id, "measured": sent})
    except Refused as error:
        if error.status != 422:
            raise
        judged["problems"] = [f"{_place(fault['path'])}: it {fault['problem']}." for fault in error.faults]
        return judged
    verdicts = [each for each in answer.json["seams"] if each["seam"] == judged["seam"]]
    if verdicts:
        judged["verdict"] = {**verdicts[0], "says": plain(verdicts[0]["says"])}
    else:
        judged["problems"] = ["Only whole edges can be judged; a side of this seam is a part of one, or a line."]
    return judged


def _with_unit(form: dict[str, str], name: str) -> str:
    text = form.get(name, "").strip() or "1"
    return text if any(each.isalpha() for each in text) else f"{text} {form.get('unit', 'mm')}"


def _place(path: str) -> str:
    """Where something typed is wrong: `pieces.front.right.cut` reads front right."""
    names = [each for each in path.split(".") if each not in ("pieces", "cut", "stitched")]
    return " ".join(names).replace("_", " ") or "What was typed"


def _picture(content: bytes) -> Response[bytes]:
    return Response(content, media_type=SVG, headers={"Cache-Control": "private, max-age=3600"})


def _id(text: str) -> str:
    """An id as it may stand in an address; raises Refused."""
    if not (text.isascii() and text.isalnum()):
        raise Refused(404, {"title": "Nothing is here", "detail": "This is no id of a grade."})
    return text


def _name(text: str) -> str:
    if not (text.isascii() and text.replace("_", "").isalnum()):
        raise Refused(404, {"title": "Nothing is here", "detail": "This is no name of a seam."})
    return text


HANDLERS = (proof_page, bag_picture, seam_picture, proof_file, measured)
