"""`crewdesk takeoff` and `crewdesk stock`, as they are typed."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from crewdesk.cli import main

SAMPLES = Path(__file__).parent.parent / "sample_data"


@pytest.fixture
def call(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    """Runs a command on a folder with the sample job before its boards were planned; gives
    its status, output and sentence."""

    def run(*words: str) -> tuple[int, str, str]:
        status = main([*words, "--data", str(tmp_path)])
        return (status, *capsys.readouterr())

    document = json.loads((SAMPLES / "tamarack-bend.json").read_text())
    del document["boards"], document["history"], document["job"]["plan"]
    (tmp_path / "given.json").write_text(json.dumps(document))
    assert run("import", str(tmp_path / "given.json"))[0] == 0
    return run


def test_no_stock_is_told_with_the_remedy(call) -> None:
    status, out, told = call("takeoff", "tamarack", "--json")
    assert (status, out) == (2, "")
    assert "crewdesk stock --take FILE.json" in told


def test_its_json(call) -> None:
    assert call("stock", "--take", str(SAMPLES / "stock.json"))[0] == 0
    assert len(json.loads(call("stock", "--json")[1])["stock"]) == 5
    status, out, _ = call("takeoff", "tamarack", "--json")
    assert status == 0
    told = json.loads(out)
    assert told["optimal"] is True
    assert Decimal(told["bound"]) == Decimal(told["cost"])
    assert told["kept"] is False
    bought = [board for board in told["boards"] if not board["on_hand"]]
    assert sum(Decimal(board["price"]) for board in bought) == Decimal(told["cost"])
    assert sum(line["count"] for line in told["buy"]) == len(bought)
    assert sum(Decimal(line["cost"]) for line in told["buy"]) == Decimal(told["cost"])
    assert {line["spare"] for line in told["buy"]} == {0, 1}
    assert Decimal(told["first_fit"]["cost"]) >= Decimal(told["cost"])
    names = [piece["name"] for board in told["boards"] for piece in board["pieces"]]
    assert len(names) == len(set(names)) == 30
    exact = lambda length: Fraction(length["exact"])  # noqa: E731
    for board in told["boards"]:
        cut = [*board["pieces"], *board["cleats"]]
        area = sum(exact(p["length"]) * (exact(p["far"]) - exact(p["near"])) for p in cut)
        waste = exact(board["length"]) - area / exact(board["width"])
        assert exact(board["waste"]) == waste >= 0
    wanted = exact(told["cleats"]["wanted"])
    assert exact(told["cleats"]["from_offcuts"]) + exact(told["cleats"]["from_boards"]) == wanted
    assert {one["name"] for one in told["consumables"]} >= {"Adhesive", "Sandpaper"}


def test_kept_it_stands_and_without_a_solver(call) -> None:
    call("stock", "--take", str(SAMPLES / "stock.json"))
    assert call("takeoff", "tamarack", "--keep", "--estimate")[0] == 0
    first = call("takeoff", "tamarack", "--json")[1]
    assert json.loads(first)["kept"] is True
    assert call("takeoff", "tamarack", "--json")[1] == first
    text = call("takeoff", "tamarack")[1]
    assert "proven, no plan with these cuts costs less" in text
    assert "White oak clear 1x12 (3/4 x 11 1/4 in)" in text
    materials = json.loads(call("export", "tamarack")[1])["materials"].values()
    told = json.loads(first)
    wanted = len(told["buy"]) + len(told["consumables"])
    assert sum(one.get("of") == "takeoff" for one in materials) == wanted


def test_rules_as_they_are_typed(call) -> None:
    call("stock", "--take", str(SAMPLES / "stock.json"))
    status, _, told = call("takeoff", "tamarack", "kerf=thick")
    assert status == 2
    assert told.count("\n") == 1
    for words, says in (
        (["saw=1"], "Cutting has no rule"),
        (["kerf"], "isn't a rule"),
        (["kerf=5"], "from 0 in to 1 in"),
        (["splices=glue"], "none, scarf or butt"),
        (["species=Ebony"], "has no Ebony"),
        (["match=Attic 9"], "There is no beam"),
        (["--seconds", "0"], "from 1 to 3600"),
    ):
        status, out, told = call("takeoff", "tamarack", *words)
        assert (status, out) == (2, "")
        assert says in told
    call("takeoff", "tamarack", "species=White oak")
    wide = json.loads(call("takeoff", "tamarack", "saws=crosscut", "kerf=3/16", "--json")[1])
    assert all(board["first"] == "crosscut" for board in wide["boards"])


def test_boards_are_noted_by_their_numbers(call) -> None:
    call("stock", "--take", str(SAMPLES / "stock.json"))
    call("takeoff", "tamarack", "--keep")

    def states(*words: str) -> dict[int, str]:
        status, out, told = call("takeoff", "tamarack", *words, "--json")
        assert status == 0, told
        return {board["number"]: board["state"] for board in json.loads(out)["boards"]}

    first = states()
    open_ = [number for number, state in first.items() if state == "to buy"]
    one, two, three, *_ = open_
    assert {n for n, s in states("--bought", f"{one}-{one},{two}").items() if s == "bought"} >= {
        one,
        two,
    }
    assert states("--bought", f"{one},{two}")[one] == "to buy", "again takes it back"
    bought = states("--bought", "all", "--cut", str(two))
    assert {bought[n] for n in open_} == {"bought", "cut"}
    assert bought[two] == "cut"
    # A spoiled board's pieces get a board anew, what is cut stays, and it is kept.
    spoiled = states("--spoiled", str(three))
    assert (spoiled[three], spoiled[two]) == ("spoiled", "cut")
    told = json.loads(call("takeoff", "tamarack", "--json")[1])
    assert (told["kept"], told["missing"]) == (True, [])
    for words, says in (
        (["--bought", "0"], "0"),
        (["--cut", "one"], "for example 1,3-5 or all"),
        (["--cut", str(three)], f"Board {three} is ruined"),
        (["--spoiled", "1-3"], "Mark one ruined board at a time"),
        (["--spoiled", f"{two}:1..2"], "is cut"),
        (["--spoiled", f"{one}:40"], "40 isn't a defect"),
    ):
        status, out, said = call("takeoff", "tamarack", *words)
        assert (status, out) == (2, "")
        assert says in said
        assert said.count("\n") == 1
