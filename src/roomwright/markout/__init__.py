"""Mark-out: putting a layout on the floor full size with tape and chalk (docs/mark-out.md)."""
