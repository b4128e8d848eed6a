"""The open accessibility checker axe-core, on a page or on part of it."""

from pathlib import Path

import axe_playwright_python
from playwright.sync_api import Page

_PROGRAM = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
_RUN = """async parts => {
  const {violations} = await axe.run(
    parts.length ? {include: parts.map(part => [part])} : document, {resultTypes: ['violations']});
  return violations.filter(fault => ['serious', 'critical'].includes(fault.impact)).flatMap(fault =>
    fault.nodes.map(node =>
      `${fault.impact} ${fault.id}: ${node.html.slice(0, 120)} ${node.failureSummary}`));
}"""


def faults(page: Page, *parts: str) -> list[str]:
    """The serious and critical faults.

    Parameters
    ----------
    page : Page
    *parts : str
        Selectors of what to look at; the whole page when left out.
    """
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(_PROGRAM)
    return page.evaluate(_RUN, list(parts))
