"""Pictures of results, by matplotlib: one module a lesson, each figure made once and then updated.

Charts take results of calculations and know no widget.
"""
