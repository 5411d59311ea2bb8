"""What stands around every page: title block, message bar, sets, status line, and the session behind them."""
