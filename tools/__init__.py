"""Programs for those who work on Roomwright itself."""
