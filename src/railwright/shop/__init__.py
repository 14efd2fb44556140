"""Results in, plans out: the shop-book workbook, parts, cutting plans and the order."""
