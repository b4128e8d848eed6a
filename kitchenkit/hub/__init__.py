"""A whole room on one machine: the lessons behind a JupyterHub, with a folder for each learner."""
