"""What commands print. `screen` is what all share: remarks, JSON and CSV, how far the work is; `console` is where
screens are drawn, with sentences and colour chips; `table` lays out columns, `roles` shows what each colour is knitted
with; one file for each answer besides: `listing`, `shown`, `suggestions`, `explain`, `why`, `sets`, `gap`, `pool`,
`contrast`, `reserve`, `needs`, `contents`, `partner`, `instead`, `motif`, `photo`, `palette`, `lookalikes`, `whose`,
`triage`, `reading`, `check`, `asking`, `intake`, `calibration`. A screen takes the answer and a `Style`, which puts
reasons and quantities into words.
"""
