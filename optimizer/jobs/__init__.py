"""Jobs: work in units on any executor, journals to go on from, files written whole or not at all."""

__all__ = ["chunks", "documents", "helper", "output"]
