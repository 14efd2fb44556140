"""Results and findings in, files out: workbooks, flagged copies, pages, drawings, results.json."""
