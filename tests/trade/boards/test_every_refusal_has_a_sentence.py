import re
from pathlib import Path

import crewdesk
from crewdesk.job.sentences import TOPICS
from crewdesk.job.sentences.boards import SENTENCES

PACKAGE = Path(crewdesk.__file__).parent
SOURCES = [
    *(PACKAGE / "trade" / "boards").glob("*.py"),
    PACKAGE / "paper" / "figures" / "boards.py",
]


def test_every_refusal_has_a_sentence_and_every_sentence_a_refusal():
    text = "\n".join(path.read_text(encoding="utf-8") for path in SOURCES)
    refused = set(re.findall(r'Refusal\(\s*"([a-z-]+)"', text))
    assert len(refused) > 30
    assert refused <= SENTENCES.keys()
    assert {name for name in SENTENCES if f'"{name}"' not in text} == set()
    assert "boards" in TOPICS
