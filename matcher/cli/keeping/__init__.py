"""Commands that read or change the store: `cells`, `lots`, `garments`, `works`, `intake`, `export`, `store`, `tags`,
`triage`; `say` is what they share.
"""
