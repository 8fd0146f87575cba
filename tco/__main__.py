"""The program `tco`: from its first moment on it ends quietly where it is told to stop."""

from __future__ import annotations

import signal


def run() -> None:
    """The command that was typed."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, signal.SIG_DFL)  # no traceback while the next lines import
    from tco import stops

    stops.listen(stops.at_once)
    from tco.cli import main

    main(prog_name="tco")


if __name__ == "__main__":
    run()
