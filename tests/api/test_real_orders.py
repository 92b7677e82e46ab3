"""From the order form to the packet with demo patterns and real workers: forms, quotes, orders, packets."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from litestar import Litestar
from litestar.testing import TestClient

import grading
from api.settings import Settings
from grading import shop, verify
from tests.api.support import signed_in

DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"
NAMES = ("allotment_tool_roll", "ferry_day_pack", "market_tote")
DOCUMENTS = {name: json.loads((DEMO / f"{name}.json").read_text(encoding="utf-8")) for name in NAMES}
Client = TestClient[Litestar]


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    file = tmp_path_factory.mktemp("orders") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{file}", time_limit=120.0)
    with signed_in(settings, raise_server_exceptions=True) as started:
        yield started


@pytest.fixture(scope="module")
def patterns(client: Client) -> dict[str, str]:
    """The address of each demo's only revision."""
    found = {}
    for name, document in DOCUMENTS.items():
        stored = client.post("/patterns", json={"document": document}).json()
        found[name] = f"/patterns/{stored['id']}/revisions/{stored['head']}"
    return found


@pytest.fixture(scope="module")
def orders(client: Client, patterns: dict[str, str]) -> list[dict[str, Any]]:
    """A tote of a size of its own in another cloth, two small totes, and a roll."""
    wishes: list[tuple[str, dict[str, Any]]] = [
        ("market_tote", {"measures": {"width": "330 mm", "height": "15 in"}, "cloths": {"main": "kelp"}}),
        ("market_tote", {"size": "mini", "quantity": 2, "cloths": {"main": "kelp"}, "options": {"sleeve": "without"}}),
        ("allotment_tool_roll", {"size": "base"}),
    ]
    return [_ordered(client, patterns[name], wish, number) for number, (name, wish) in enumerate(wishes)]


def _ordered(client: Client, address: str, wish: dict[str, Any], number: int) -> dict[str, Any]:
    quote = client.post(f"{address}/quotes", json=wish)
    assert quote.status_code == 201, quote.text
    order = client.post(
        "/orders",
        json={"quote": quote.json()["id"], "customer": {"reference": f"shop-{number}"}},
        headers={"Idempotency-Key": f'"order-of-the-shop-{number}"'},
    )
    assert order.status_code == 201, order.text
    placed: dict[str, Any] = order.json()
    return placed


def _unpacked(content: bytes) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        assert packed.testzip() is None
        return {name: packed.read(name).decode("utf-8", "replace") for name in packed.namelist()}


@pytest.mark.parametrize("name", NAMES)
def test_what_a_demo_offers_is_a_schema_that_its_defaults_fulfil(
    client: Client, patterns: dict[str, str], name: str
) -> None:
    form = client.get(f"{patterns[name]}/form").json()
    Draft202012Validator.check_schema(form["schema"])
    schema = Draft202012Validator(form["schema"])
    usual = {key: form["defaults"][key] for key in ("options", "cloths", "quantity")}
    assert form["proven"]
    assert schema.is_valid({"size": form["defaults"]["size"], **usual})
    assert schema.is_valid({"measures": form["defaults"]["measures"], **usual})
    assert [size["name"] for size in form["sizes"]] == ["base", "mini", "large"]
    assert any("load" in caution for caution in form["cautions"])
    for measure, (least, most) in DOCUMENTS[name]["order"]["choose"].items():
        ends = [float(end.removesuffix(" mm")) for end in (least, most)]
        assert all(schema.is_valid({"measures": {measure: end}}) for end in ends)
        assert not schema.is_valid({"measures": {measure: ends[0] - 1}})
        assert not schema.is_valid({"measures": {measure: ends[1] + 1}})
        assert schema.is_valid({"measures": {measure: "12 1/2 in"}})
        assert not schema.is_valid({"measures": {measure: "wide"}})
    assert not schema.is_valid({})
    assert not schema.is_valid({"size": "base", "measures": form["defaults"]["measures"]})
    assert not schema.is_valid({"size": "giant"})
    assert not schema.is_valid({"size": "base", "cloths": {"main": "velvet"}})
    assert not schema.is_valid({"size": "base", "quantity": 0})


def test_a_quote_can_be_reckoned_again_from_what_is_stored(client: Client, orders: list[dict[str, Any]]) -> None:
    for order in orders:
        quote = order["quote"]
        address = f"/patterns/{quote['pattern']}/revisions/{quote['revision']}"
        document = client.get(address).json()["document"]
        grade = client.get(f"/grades/{quote['grade']}").json()
        layouts = client.get(f"/layouts/{quote['layouts']}").json()
        supplies = client.get(f"/grades/{quote['grade']}/supplies?layouts={quote['layouts']}").json()
        pattern = grading.read_document(document)
        price = shop.price_document(
            shop.price_of(pattern, shop.wish_of(pattern, quote["wish"]), grade, layouts, supplies)
        )
        assert price == client.get(f"/quotes/{quote['id']}/price").json()
        assert price["total"] == quote["price"]["total"]


def test_what_is_quoted_is_proven(client: Client, orders: list[dict[str, Any]]) -> None:
    for order in orders:
        quote = order["quote"]
        document = client.get(f"/patterns/{quote['pattern']}/revisions/{quote['revision']}").json()["document"]
        grade = client.get(f"/grades/{quote['grade']}").json()
        assert verify.judge(document, grade).holds
        assert client.get(f"/layouts/{quote['layouts']}/proof").json()["holds"]


def test_measures_of_a_quote_are_those_wished_as_near_as_the_ruler_lies(orders: list[dict[str, Any]]) -> None:
    assert orders[0]["quote"]["measures"] == {"width": "330 mm", "height": "381 mm", "depth": "120 mm"}  # 15 in


def test_a_wish_beyond_the_ends_names_them(client: Client, patterns: dict[str, str]) -> None:
    answer = client.post(f"{patterns['market_tote']}/quotes", json={"measures": {"width": "700 mm"}})
    (fault,) = answer.json()["faults"]
    assert (answer.status_code, fault["path"]) == (422, "measures.width")
    assert fault["problem"] == "width is 700 mm, and 240 mm to 500 mm is offered"


def test_the_packet_of_an_order_has_what_the_order_keeps(client: Client, orders: list[dict[str, Any]]) -> None:
    order, quote = orders[0], orders[0]["quote"]
    first, second = (client.get(f"/orders/{order['id']}/packet") for _ in range(2))
    assert first.headers["content-type"] == "application/zip"
    assert first.content == second.content
    assert (
        client.get(f"/orders/{order['id']}/packet", headers={"If-None-Match": first.headers["etag"]}).status_code == 304
    )
    files = _unpacked(first.content)
    assert json.loads(files["order-1/order.json"])["id"] == order["id"]
    assert json.loads(files["order-1/pattern.json"]) == DOCUMENTS["market_tote"]
    assert json.loads(files["order-1/grade.json"]) == client.get(f"/grades/{quote['grade']}").json()
    assert json.loads(files["order-1/proof.json"]) == client.get(f"/grades/{quote['grade']}/proof").json()
    assert json.loads(files["order-1/layouts.json"]) == client.get(f"/layouts/{quote['layouts']}").json()
    assert json.loads(files["order-1/price.json"])["total"] == quote["price"]["total"]
    assert files["order-1/layouts.svg"].startswith("<svg")
    assert files["order-1/sheets-A4.pdf"].startswith("%PDF")
    assert "Sew right round the mouth" in files["order-1/steps.txt"]
    assert not any(name.startswith("together") for name in files)
    assert set(files) - {"contents.txt"} == {line for line in files["contents.txt"].splitlines() if line in files}


def test_orders_of_one_cloth_are_cut_together_and_need_no_more_of_it(
    client: Client, orders: list[dict[str, Any]]
) -> None:
    asked = {"orders": [order["id"] for order in orders]}
    answer = client.post("/packets", json=asked)
    assert answer.status_code == 200, answer.text
    assert answer.content == client.post("/packets", json=asked).content
    files = _unpacked(answer.content)
    together = json.loads(files["together/layouts.json"])
    assert [order["quantity"] for order in together["orders"]] == [1, 2, 1]
    kelp = together["cloths"]["plain canvas, kelp green"]
    assert kelp["orders"] == [1, 2]
    alone = [json.loads(files[f"order-{number}/layouts.json"])["cloths"]["main"]["length"] for number in (1, 2)]
    lengths = [float(length.removesuffix(" mm")) for length in alone]
    assert float(kelp["length"].removesuffix(" mm")) <= lengths[0] + 2 * lengths[1]
    _lie_apart(kelp)


def _lie_apart(layout: dict[str, Any]) -> None:
    """Every piece within the width, and no two on each other: looked at with nothing but the numbers printed."""
    boxes = []
    for piece in layout["pieces"]:
        x, y, across, along = (float(piece[key].removesuffix(" mm")) for key in ("x", "y", "across", "along"))
        assert x >= 0
        assert x + across <= float(layout["width"].removesuffix(" mm"))
        boxes.append((x, y, x + across, y + along))
    for number, one in enumerate(boxes):
        for other in boxes[:number]:
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


def test_the_pieces_that_are_cut_together_are_those_of_the_grades(client: Client, orders: list[dict[str, Any]]) -> None:
    files = _unpacked(client.post("/packets", json={"orders": [order["id"] for order in orders]}).content)
    counted, of_panels = dict.fromkeys((1, 2, 3), 0), []
    for cloth in json.loads(files["together/layouts.json"])["cloths"].values():
        names = [(piece["letter"], piece["layer"], piece["copy"], piece["mirrored"]) for piece in cloth["pieces"]]
        assert len(set(names)) == len(names)
        for piece in cloth["pieces"]:
            counted[int(piece["piece"].split("_")[1])] += 1
            of_panels += [piece["copy"]] * ((piece["letter"], piece["layer"]) == ("2A", "main"))
    assert sorted(of_panels) == [1, 2, 3, 4]
    for number, order in enumerate(orders, start=1):
        laid = json.loads(files[f"order-{number}/layouts.json"])["cloths"].values()
        bags = json.loads(files[f"order-{number}/price.json"])["quantity"]
        assert counted[number] == bags * sum(len(cloth["pieces"]) for cloth in laid)
        assert order["quote"]["wish"].get("quantity", 1) == bags
    rows = list(csv.DictReader(io.StringIO(files["together/cut_list.csv"])))
    of_two = [row for row in rows if row["order"] == "2" and row["piece"] == "panel" and row["layer"] == "main"]
    assert [row["count"] for row in of_two] == ["4"]  # front and back of two bags


def test_findings_of_several_orders_are_bought_together(client: Client, orders: list[dict[str, Any]]) -> None:
    files = _unpacked(client.post("/packets", json={"orders": [order["id"] for order in orders[:2]]}).content)
    rows = {row["what to buy"]: row for row in csv.DictReader(io.StringIO(files["together/to_buy.csv"]))}
    assert rows["sew-on press stud, 15 mm"]["count to buy"] == "3"
    assert rows["sew-on press stud, 15 mm"]["orders"] == "1, 2"


def test_a_packet_names_each_order_once(client: Client, orders: list[dict[str, Any]]) -> None:
    twice = client.post("/packets", json={"orders": [orders[0]["id"]] * 2})
    assert twice.status_code == 422
    assert client.post("/packets", json={"orders": []}).status_code == 422
