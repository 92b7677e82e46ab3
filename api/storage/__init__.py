"""Where patterns, revisions, grades and layouts are kept: tables, migrations, and stores that read and write."""
