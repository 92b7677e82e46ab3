"""Who may do what: scopes, keys and tokens as text, what each caller may spend. Knows no storage and no handlers."""
