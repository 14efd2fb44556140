"""What to buy and how to saw it: bars with a saw kerf, felt strips with a knife, each plan with its proof.

The way through: ``model`` (pieces, stock, plans) -> ``instance`` (widths and room, the kerf folded in) ->
``bound`` (what no plan can undercut) and ``heuristic`` (a good plan at once) -> ``columns`` and ``dive``
(linear programme, then rounding, when the two do not meet) -> ``polish`` (offcuts, set-ups, remnant) ->
``solve`` (the order of all that) -> ``certificate`` (a separate check of plan and proof).
"""
