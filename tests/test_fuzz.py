"""A few seconds of spoilt input for each reader; ``python -m tests.fuzz`` goes on for longer."""

from fuzz.run import run


def test_spoilt_input_is_read_or_refused_in_one_plain_sentence(tmp_path):
    counts, found = run(tmp_path.resolve(), seconds=5, seed=1)
    assert found == []
    assert len(counts) > 40
    refused = sum(count["refused"] for count in counts.values())
    assert refused > 200, "the input was hardly spoilt"
    assert sum(count["read"] for count in counts.values()) > 20
