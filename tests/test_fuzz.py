"""A few seconds of spoilt input for each reader; ``python -m tests.fuzz`` goes on for longer."""

from fuzz.run import run


def test_spoilt_input_is_read_or_refused_in_one_plain_sentence(tmp_path):
    counts, found = run(tmp_path.resolve(), seconds=5, seed=1)
    assert found == []
    assert len(counts) > 40
    read, refused = (sum(count[how] for count in counts.values()) for how in ("read", "refused"))
    assert refused > read, "the input was hardly spoilt"
    assert read > len(counts) / 4, "the input was nothing but spoilt"
