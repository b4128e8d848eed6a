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
        "Install a newer one from your system's software store or the Python website, then try\n"
        "again with its own name: python%d.%d on macOS and Linux, py on Windows."
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
