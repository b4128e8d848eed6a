"""Panels: labelled controls that drive one calculation and one picture; a module a lesson.

A panel holds no formula. Its `refresh` is a plain method that raises when a test calls it; what a
person does in the page goes through `Panel.respond`, which shows the message instead.
"""
