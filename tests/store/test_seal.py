"""The seal, against the examples of NIST's Secure Hash Standard and against hashlib."""

import hashlib

from hypothesis import given
from hypothesis import strategies as st

from crewdesk.store.seal import sha256


def test_the_examples_of_the_standard() -> None:
    # FIPS 180-2, appendix B.1 and B.2: "abc", and 448 bits.
    assert sha256(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert (
        sha256(b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")
        == "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"
    )


@given(st.binary(max_size=300))
def test_it_is_what_hashlib_reckons(data: bytes) -> None:
    assert sha256(data) == hashlib.sha256(data).hexdigest()
