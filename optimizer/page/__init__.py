"""Page: a machine drawn live, its voltage beside it, a search one click away, every file to take.

`app` answers requests, `guards` lets only this computer's own browser in, `workers` runs the work in processes that
can be stopped, `tasks` is that work. What a request says travels as flat values; no request names a file.
"""

__all__ = ["app", "workers"]
