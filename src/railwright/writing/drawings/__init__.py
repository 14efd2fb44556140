"""Drawings of segments: described once in millimetres, rendered by small backends.

``primitives`` is the model, ``layers`` what each line means, ``plan_view``, ``elevation`` and ``end_views`` draw a
segment, ``segment_sheet`` lays the views out on paper, ``svg`` renders a sheet.
"""
