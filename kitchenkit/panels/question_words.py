"""What the questions are called, in the language in use."""

from __future__ import annotations

from kitchenkit.language import trc


def question_title(key: str) -> str:
    """A question's key in words.

    Parameters
    ----------
    key : str
        As `Question` has it; one that is not known here is said as it is.
    """
    words = {
        "batches": trc("question", "batches"),
        "carry-over": trc("question", "carry over"),
        "dearer": trc("question", "dearer"),
        "factor": trc("question", "factor"),
        "fits": trc("question", "fits"),
        "load": trc("question", "load"),
        "may-cost": trc("question", "may cost"),
        "oats": trc("question", "oats"),
        "packing": trc("question", "packing"),
        "paid-back": trc("question", "paid back"),
        "percent": trc("question", "percent"),
        "racks": trc("question", "racks"),
        "serving": trc("question", "serving"),
        "square": trc("question", "square"),
        "squeeze": trc("question", "squeeze"),
        "times": trc("question", "times"),
        "unit-price": trc("question", "unit price"),
        "use-up": trc("question", "use up"),
        "waits": trc("question", "waits"),
        "wells": trc("question", "wells"),
        "yield": trc("question", "yield"),
    }
    return words.get(key) or key.replace("-", " ")
