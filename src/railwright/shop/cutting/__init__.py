"""What to buy and how to saw it: bars with a saw kerf, felt strips with a knife, each plan with its proof.

Bars, in the order data flows: ``model`` (pieces, stock, plans) -> ``instance`` (widths and rooms, the kerf folded
in) -> ``bound`` (what no plan can undercut) -> ``heuristic``, ``balance`` and ``recipe`` (plans at once) ->
``columns`` and ``dive`` (linear programme, then whole bars) -> ``search`` (everything, for small cases) ->
``money`` (the order of these until plan and bound meet) -> ``polish`` and ``refine`` (offcuts, set-ups, remnant) ->
``solve`` (``plan_bars``). ``certificate`` (``check``) verifies a plan and its bounds apart from all of them.

Felt: ``felt_model`` -> ``felt_fill`` -> ``felt`` (``plan_felt``), verified by ``felt_check`` (``check_felt``).
"""
