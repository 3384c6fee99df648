"""Values, pages and charts as people read them."""
