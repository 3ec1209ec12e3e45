"""Reports: pages made from results, and the files beside them."""
