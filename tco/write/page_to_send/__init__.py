"""The page to send: one file of HTML that needs no network and no script, for a phone, a desk and paper."""
