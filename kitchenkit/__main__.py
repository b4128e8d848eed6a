"""``python -m kitchenkit``: turns an old Python away in plain words, else starts the launcher."""

# Any Python must be able to read this file, even one far too old: no f-strings, no annotations.

import sys

OLDEST = (3, 11)


def too_old(version_info):
    """What to tell the owner of a Python that is too old, or None."""
    if tuple(version_info[:2]) >= OLDEST:
        return None
    return (
        "This needs Python %d.%d or newer, and this is Python %d.%d.\n"
        "Install a newer Python (your system's software store has it), then try again\n"
        "with its own name, such as python%d.%d on macOS and Linux, or py on Windows."
    ) % (OLDEST + tuple(version_info[:2]) + OLDEST)


def main():
    message = too_old(sys.version_info)
    if message:
        sys.stderr.write(message + "\n")
        return 1
    from kitchenkit import launch

    return launch.main(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
