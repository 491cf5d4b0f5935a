"""How does a season pass between folder and workbook? Opening, starting, exporting, carrying."""
