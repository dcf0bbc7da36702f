"""Wall sheets on paper: one PDF a sheet from the answer `sheet`, black only, on letter paper."""
