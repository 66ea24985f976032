from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.trade.boards.matching import price_of_matching
from crewdesk.trade.boards.stock import Need, Saw, Stock

F, D = Fraction, Decimal
EIGHTH = Saw(F(1, 8))


def test_the_price_of_asking_by_hand():
    # Pairs of 60 and of 83 on 144 in: free, 60 + 83 twice and a kerf fill two boards;
    # matched, two 60s fit one board (120-1/8), two 83s need 166-1/8, a 16 ft board
    stocks = (Stock("12 ft", F(144), D(20)), Stock("16 ft", F(192), D(30)))
    needs = tuple(
        Need(f"{beam}{side}", F(n), match=beam)
        for beam, n in (("1", 60), ("2", 83))
        for side in "AB"
    )
    found = price_of_matching(stocks, needs, EIGHTH)
    assert (found.matched.cost, found.free.cost, found.price) == (D(50), D(40), D(10))
    assert found.at_least == found.at_most == found.price


def test_asking_costs_nothing_where_one_piece_fills_a_match():
    stocks = (Stock("12 ft", F(144), D(20)),)
    found = price_of_matching(stocks, (Need("a", F(60), match="1"), Need("b", F(70))), EIGHTH)
    assert found.price == 0


@settings(deadline=None, max_examples=15)
@given(st.lists(st.tuples(st.integers(20, 47), st.sampled_from("123")), min_size=2, max_size=6))
def test_asking_is_never_cheaper(check_plan, pieces):
    stocks = (Stock("24 ft", F(288), D(41)), Stock("8 ft", F(96), D(12)))
    needs = tuple(Need(f"n{i}", F(n), match=m) for i, (n, m) in enumerate(pieces))
    found = price_of_matching(stocks, needs, EIGHTH)
    check_plan(stocks, needs, EIGHTH, (), found.matched)
    check_plan(stocks, needs, EIGHTH, (), found.free)
    assert 0 <= found.at_least <= found.price <= found.at_most
    for match in "123":
        names = {n.name for n in needs if n.match == match}
        assert sum(bool(names & {p.name for p in b.pieces}) for b in found.matched.boards) <= 1
