"""`loomwise serve`."""


def run(port: int, browser: bool) -> None:
    """Serve the pages until Ctrl-C."""
    from loomwise.web.serve import serve

    serve(port, browser)
