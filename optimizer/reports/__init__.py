"""Reports: pages made from results, and the files beside them."""

__all__ = ["answer_files", "pages", "pictures", "report"]
