"""The room as it comes, on this machine alone: to try it out, or to begin a file of one's own."""

from kitchenkit.hub.settings import configure

c = get_config()  # noqa: F821, JupyterHub puts it there
configure(c)
